"""Places tidied once it is settled what is sown when: families and crops together, room in one."""
