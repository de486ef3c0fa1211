"""The plan on paper: what each sheet says, how it is set (``sheets.typ``), the PDF."""
