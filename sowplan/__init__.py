"""Plan a kitchen garden's season: from one garden file to a season of sowings."""

__version__ = "0.1.0"
