"""The words of the language: which statement stands where, and how what was expected is named."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

# Words that begin an amount, a place, a line or a direction, or join their parts: no names. The usage is
# shown to who writes one of them by itself.
RESERVED: Mapping[str, str] = MappingProxyType(
    {
        "length": "length of armhole",
        "sum": "sum of widths",
        "least": "least of (a, b)",
        "most": "most of (a, b)",
        "share": "share spring evenly over 9",
        "square": "square to centre_front",
        "sine": "sine of slope",
        "cosine": "cosine of slope",
        "tangent": "tangent of slope",
        "angle": "angle between up and right",
        "count": "count of widths",
        "distance": "distance from A to B",
        "height": "height from A to B",
        "width": "width from A to B",
        "girth": "girth at waist_line",
        "intakes": "intakes at waist_line",
        "halfway": "halfway from A to B",
        "where": "where a meets b",
        "start": "start of armhole",
        "end": "end of armhole",
        "level": "level through P",
        "plumb": "plumb through P",
        "line": "line through A and B",
        "sweep": "sweep of 6 in about P",
        "parallel": "parallel to neck 2 in toward P",
        "along": "along shoulder",
        "toward": "toward P",
        "between": "between up and right",
        "rounded": "rounded to 1/2 in",
        **dict.fromkeys(
            ("up", "down", "left", "right", "if", "otherwise", "and", "or", "not", "from", "to"), ""
        ),
        **dict.fromkeys(("of", "in", "on", "at", "by", "is", "yes", "no", "first", "each", "then"), ""),
    }
)

_LOGIC = {"when": "when", "otherwise": "otherwise", "repeat": "repeat", "find": "find"}
_VARIANT = {"redraw": "redraw", "leave": "leave"}
_SAID = {"keep": "keep", "require": "keep", "report": "report", "caution": "caution"}
_FINDINGS = {
    **{w: w for w in ("bone", "busk", "lace", "bind", "tape", "zip", "sewing")},
    **dict.fromkeys(("eyelets", "hooks", "buttons"), "fastening"),
}
_DRAWING = {
    "level": "guide",
    "plumb": "guide",
    **{w: w for w in ("mark", "line", "curve", "panel_line", "dart", "draw")},
}

# For each context, its statements' first words with the grammar's rule (`st_` before it). In the contexts
# of clauses one rule reads them all, several to the line.
STATEMENTS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {
        "file": {
            **{
                w: w for w in ("recipe", "use", "needs", "choose", "draft", "piece", "sew", "prove", "method")
            },
            "every": "every",
            "seams": "seams",
            "limit": "limit",
            **_SAID,
            **_FINDINGS,
            **_LOGIC,
            **_VARIANT,
        },
        "head": {w: w for w in ("edition", "about", "licence", "studio", "wearer", "meant", "based")},
        "draft": {"begin": "begin", **_DRAWING, **_LOGIC, **_SAID, **_VARIANT},
        "method": {"about": "about", "given": "given", "gives": "gives", **_DRAWING, **_LOGIC, **_SAID},
        # What stands in the `when`, `otherwise` or `repeat` of a method.
        "method block": {**_DRAWING, **_LOGIC, **_SAID},
        "piece": {
            "bounded": "bounded",
            **{
                w: w
                for w in ("cut", "grain", "allow", "net", "corner", "notch", "drill", "nest", "show", "label")
            },
            **{w: w for w in ("move", "close", "release", "blend")},
            **dict.fromkeys(("spread", "overlap", "pleat", "box", "inverted", "tuck"), "slash"),
            "when": "when",
            "otherwise": "otherwise",
        },
        "every": {w: w for w in ("cut", "grain", "allow", "net", "corner", "label", "when", "otherwise")},
        "curve": dict.fromkeys(
            ("leaving", "through", "arriving", "hollow", "round", "length", "fulness"), "curve_clauses"
        ),
        "panel_line": dict.fromkeys(("at", "left"), "panel_clauses"),
        "dart": dict.fromkeys(("to", "short", "intake", "angle", "pressed", "at"), "dart_clauses"),
        "find": {"so": "so_that"},
        "sew": dict.fromkeys(("match", "easing", "gathering", "as"), "sew_clauses"),
        "limit": dict.fromkeys(("caution", "leaves", "for"), "limit_clauses"),
        "draw": {},
    }
)

# How a context is spoken of: "No line in a draft begins with ...".
WHERE: Mapping[str, str] = MappingProxyType(
    {
        "file": "at the left edge",
        "head": "under `recipe`",
        "draft": "in a draft",
        "method": "in a method",
        "method block": "in a block of a method",
        "piece": "in a piece",
        "every": "under `every piece`",
        "curve": "under `curve`",
        "panel_line": "under `panel_line`",
        "dart": "under `dart`",
        "find": "under `find`",
        "sew": "under `sew`",
        "limit": "under `limit`",
        "draw": "under `draw`",
    }
)

# What a variant may not redraw: what has no name of its own, and the first point of a draft.
NOT_REDRAWN = frozenset({"recipe", "use", "every", "when", "otherwise", "repeat", "begin", *_VARIANT})

# The contexts where a name may be given a value with `=`.
LETS = frozenset({"file", "draft", "method", "method block"})

# Which context the lines under a statement are in; a statement that is not here takes none.
BLOCKS: Mapping[str, str] = MappingProxyType(
    {
        "recipe": "head",
        **{w: w for w in ("draft", "method", "piece", "curve", "panel_line", "dart", "find", "sew", "draw")},
        "limit": "limit",
        "every": "every",
        **dict.fromkeys(("when", "otherwise", "repeat"), "same"),
    }
)

_HOME = {
    "file": "at the left edge, in no block",
    "head": "under `recipe`",
    "draft": "in a draft or a method",
    "method": "in a method",
    "piece": "in a piece",
    "curve": "under a `curve`",
    "panel_line": "under a `panel_line`",
    "dart": "under a `dart`",
    "find": "under a `find`",
    "sew": "under a `sew`",
    "limit": "under a `limit`",
}


def context_below(word: str, context: str) -> str:
    """The context of the lines under a statement that begins with `word` and itself stands in `context`."""
    inner = BLOCKS[word]
    if inner != "same":
        return inner
    return "method block" if context == "method" else context


def home_of(word: str) -> str | None:
    """Where a statement that begins with `word` belongs, or None if no statement does."""
    homes = [home for context, home in _HOME.items() if word in STATEMENTS[context]]
    return homes[0] if homes else None


# --- what was expected ------------------------------------------------------------------------

_AMOUNT_STARTERS = {"AMOUNT", "LENGTH_OF", "SUM_OF"}
_PLACE_STARTERS = {"WHERE", "START_OF", "END_OF", "HALFWAY"}
_LINE_STARTERS = {"LEVEL_THROUGH", "SWEEP_OF", "LINE_THROUGH", "PARALLEL_TO"}
_DIRECTION_STARTERS = {"BACK_ALONG", "BETWEEN"}
_GROUPS: tuple[tuple[set[str], str, set[str]], ...] = (
    ({"START_OF", "END_OF"}, "a point", _PLACE_STARTERS | {"SQUARE"}),
    ({"LEVEL_THROUGH", "SWEEP_OF"}, "a line", _LINE_STARTERS | {"PLUMB_THROUGH", "LINE_FROM"}),
    ({"AMOUNT", "LENGTH_OF", "NOT"}, "a condition such as `closing is laced`", set()),
    ({"AMOUNT", "LENGTH_OF"}, "an amount", set()),
    (
        {"CARDINAL", "BACK_ALONG"},
        "a direction such as `right`",
        {"ALONG", "SQUARE", "TOWARD", "BETWEEN", "FROM"},
    ),
    ({"CARDINAL"}, "a direction such as `right`", set()),
)
_AMOUNT_WORDS = {
    *(
        "AMOUNT",
        "LENGTH_OF",
        "DISTANCE_FROM",
        "HEIGHT_FROM",
        "WIDTH_FROM",
        "WIDTH_OF",
        "GIRTH_AT",
        "INTAKES_AT",
    ),
    *("ANGLE_BETWEEN", "ANGLE_OF", "LEAST_OF", "MOST_OF", "SUM_OF", "COUNT_OF", "SQUARE_ROOT_OF", "SINE_OF"),
    *("COSINE_OF", "TANGENT_OF", "MINUS", "LPAR", "NAME", "CHOSEN", "SHARE", "FIRST"),
}
_SHOWN = {
    "NAME": "a name",
    "TEXT": "words in quotes",
    "CHOICE": "a word",
    "CHOSEN": "a word",
    "PLAIN": "the licence",
    "AMOUNT": "a number",
    "EQUAL": "`=`",
    "COMPARE": "`<` or `>`",
    "COMMA": "`,`",
    "RPAR": "`)`",
    "RSQB": "`]`",
    "OWNER": "`tape`, `rule`, `taste` or `fitting`",
    "KIND": "a kind such as `length`, `point` or `line`",
    "BOW": "`hollow` or `round`",
    "STROKES": "`double`",
    "ENDPOINT": "`start` or `end`",
    "SO_THAT": "`so that`",
    "AWAY_FROM": "`away from`",
    "IN_PROPORTION": "`in proportion`",
    "EVENLY_OVER": "`evenly over`",
    "LEFT_EDGE_TAKES": "`left edge takes`",
    "ON_TRUE_BIAS": "`on true bias`",
    "ONE_WAY": "`one way`",
    "TURNED_BACK": "`turned back`",
    "ITS_PAIR": "`its pair`",
    "AT_MOST": "`at most`",
    "AT_LEAST": "`at least`",
    "AS_SHARE_OF": "`as share of`",
    "CAUTION_OVER": "`caution over`",
    "CAUTION_UNDER": "`caution under`",
    "FOR_MINORS": "`for minors`",
    "WARN_OVER": "`warn over`",
    "FAIL_OVER": "`fail over`",
    "STEEL": "`spiral` or `flat`",
    "RESHAPE": "`spread`, `overlap` or `pleat`",
    "RELEASED": "`gathers`, `ease` or `tuck`",
    "AT_BOTH_ENDS": "`at both ends`",
    "AT_EACH_END": "`at each end`",
    "OF_EACH_END": "`of each end`",
    "_SET_IN": "`set in`",
    "OPENS_TO": "`opens to`",
    "CLOSES_TO": "`closes to`",
}
# What may go on almost anywhere is named only when nothing else is expected.
_COMMON = {
    *(
        "PLUS",
        "MINUS",
        "STAR",
        "SLASH",
        "ROUNDED",
        "IF",
        "DOTTED",
        "LSQB",
        "LPAR",
        "MIRRORED",
        "TURNED",
        "MOVED",
        "LAID",
    ),
    *("REVERSED", "EXTENDED", "TEXT", "OR", "AND", "NOT", "IS"),
}
_SIGNS = {
    "PLUS": "`+`",
    "MINUS": "`-`",
    "STAR": "`*`",
    "SLASH": "`/`",
    "DOTTED": "`.`",
    "LSQB": "`[`",
    "LPAR": "`(`",
}
_MOST_NAMED = 5


# Phrases for whole kinds of thing, each of which may begin with a word of the language.
KINDS = frozenset(phrase for _, phrase, _ in _GROUPS)


def wanted(terminals: set[str]) -> tuple[str, ...]:
    """What a set of the grammar's terminals is to a maker: at most five things, the likeliest first."""
    left = set(terminals)
    found: list[str] = []
    for needs, phrase, covered in _GROUPS:
        if needs <= left and phrase not in found:
            found.append(phrase)
            left -= needs | covered | (_AMOUNT_WORDS if "direction" not in phrase else set())
    if "AT_MOST" in left:
        left.discard("COMPARE")
    ends = "$END" in left
    common = _COMMON - {"MIRRORED", "EXTENDED"} if "BLUNT" in left else _COMMON
    plain = sorted(left - {"$END"} - common, key=_rank)
    shown = [_shown(t) for t in plain] + found
    if not shown:
        shown = [_shown(t) for t in sorted(left & _COMMON, key=_rank)]
    if ends:
        shown = [*shown[: _MOST_NAMED - 1], "the end of the line"]
    return tuple(dict.fromkeys(shown))[:_MOST_NAMED]


def _rank(terminal: str) -> tuple[int, str]:
    order = ("NAME", "EQUAL", "FROM", "TO", "RPAR", "RSQB", "COMMA", "THROUGH")
    return (order.index(terminal) if terminal in order else len(order), terminal)


def _shown(terminal: str) -> str:
    return _SHOWN.get(terminal) or _SIGNS.get(terminal) or f"`{terminal.lower().replace('_', ' ')}`"


def keywords(terminals: set[str]) -> tuple[str, ...]:
    """The single words among a set of terminals, for a guess at a misspelt one."""
    fixed = [t.lower() for t in terminals if t.isalpha() and t not in _SHOWN]
    choices = {"CARDINAL": "up down left right", "OWNER": "tape rule taste fitting", "BOW": "hollow round"}
    choices |= {"STROKES": "double", "ENDPOINT": "start end", "KIND": "length number angle point line"}
    return tuple(fixed + [w for t in choices if t in terminals for w in choices[t].split()])
