"""TOML as people write it: values, where each stands, and where the writing breaks off."""
