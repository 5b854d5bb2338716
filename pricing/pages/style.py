"""The look of pictures: colors with enough contrast on white, and sizes. Color is never the only
carrier: lines also differ by dash, and everything is labelled where it stands."""

INK, MUTED, RULE, PAPER = "#1d2428", "#545d64", "#cfc9ba", "#ffffff"
MAIN, WARM, SOFT, PAST = "#0d4f66", "#6b4300", "#dfeaee", "#7d7a70"
# what a color of a picture is inside a page, where the person's eyes choose light or dark
INKS = {
    INK: "var(--ink)", MUTED: "var(--faint)", RULE: "var(--line)", PAPER: "var(--ground)",
    MAIN: "var(--blue)", SOFT: "var(--blue-soft)", PAST: "var(--edge)", "#000000": "var(--ink)",
    WARM: "var(--warm)",
}  # fmt: skip
DASHES: tuple[tuple[float, ...], ...] = ((), (6, 2), (2, 2))
FONT_SIZE = 10.0
WIDTH_INCHES = 5.6
