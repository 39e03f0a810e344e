"""Words of the trade per language: what parts are called, how facts are put, how columns are headed.

Each module holds one `TONGUE` of the same shape:
`nouns` per kind; `extras` that do not change the kind; `circle`, `chord`,
`unsaid`, `rectangle` for the wordings of a hole distance (`{}` is the figure
with its unit); `thread`, `head`, `bare`, `hole` for fasteners; `aside` pairs
of a look-alike and its title, in which `{f}` stands for "for these engines";
`headers` per column; `sections`, `total`, `notes` for the lines between.
"""

from . import de, en, es, fr, it, nl, pl, zh

TONGUES = {
    "en": en.TONGUE, "de": de.TONGUE, "fr": fr.TONGUE, "es": es.TONGUE,
    "it": it.TONGUE, "nl": nl.TONGUE, "pl": pl.TONGUE, "zh": zh.TONGUE,
}
