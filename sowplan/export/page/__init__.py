"""The plan as one page for phone and screen: template, style and script beside the Python."""
