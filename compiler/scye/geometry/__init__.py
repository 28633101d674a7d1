"""Points, curves and paths over many bodies at once: pure mathematics, no garment.

Every array's last axis is the bodies, n long or 1 for a thing that is the same for all. Lengths are mm,
angles radians, x runs right and y down the paper. What can't be drawn for a body is NaN for that body;
nothing raises and nothing warns. A body's result has the same bits alone as in any batch.

In order of what rests on what: `vector`; `newton` and `quadrature`; `curve` (one cubic); `path` (drawn
lines, guides and circles); `hobby`, `bowed` and `fair` (curves fitted through points); `regularity`;
`meets`, `abreast`, `implicit`, `crossings` and `intersect` (where lines meet); `offset`; `area`.
"""
