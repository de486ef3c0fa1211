"""Keys of the season: its days, and the gardener's."""

from __future__ import annotations

from sowplan.records.garden_file.keys.row import Key, Table

SEASON = Table(
    "season",
    False,
    "the days to plan for; it may cross the new year, and be up to 24 months long",
    (
        Key("start", "date", "the first day", "2026-09-01", required=True),
        Key("end", "date", "the last day", "2027-08-31", required=True),
        Key(
            "sow_on",
            "weekdays",
            "the weekdays on which you sow and plant out; other jobs and harvests go to them too "
            "where they can wait",
            '["Saturday", "Sunday"]',
            default="any day",
        ),
        Key(
            "harvest_on",
            "weekdays",
            "the only weekdays on which you harvest, before market or at weekends, say; what is "
            "fit on none of them is not counted on, save that what is cut or picked again waits "
            "for up to six days",
            '["Thursday", "Friday"]',
            default="any day, those of sow_on first",
        ),
        Key(
            "never_on",
            "weekdays",
            "the weekdays on which nothing is done, in a school garden, say: no sowing, no "
            "harvest, no other job",
            '["Saturday", "Sunday"]',
            default="none",
        ),
        Key(
            "away",
            "absences",
            "when nobody is there, first and last day: nothing is wanted, sown, planted out or "
            'harvested then; "watered" after them where somebody waters meanwhile, so that what is '
            'in trays and just planted keeps, "watered and picked" where they pick for themselves '
            "too, so that nothing overgrows",
            '[[2027-01-10, 2027-01-24], [2027-04-03, 2027-04-17, "watered"]]',
            default="somebody is always there",
        ),
        Key(
            "hours_a_week",
            "number",
            "most hours of sowing, potting on, planting out and clearing in any week; bringing in "
            "the harvest is not counted",
            "6",
            low=0.1,
            high=168.0,
            default="as many as it takes",
        ),
    ),
    required=True,
)
