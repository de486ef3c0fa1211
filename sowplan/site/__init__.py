"""Stage 2: a place into daily series. Knows nothing of crops.

``sky.sky`` is the one door later stages use; the other modules each hold one
matter: ``sun`` (where the sun stands, the day's length), ``light`` (radiation
and photons), ``normals`` (twelve months into a year of days), ``recorded``
(daily records), ``spread`` (how far real days stray from normal), ``soil``,
``frost``, ``shade`` (walls and trees) and ``towns`` (figures to start from).
"""
