"""Owns how the parts of a page look, in the language of the page engine.

Does not own a single word of data: that comes in as JSON under the name `page`, so that no name can be taken
for markup. Nothing is under 8.5 pt; boxes to write in are 9 mm high; black and white.
"""

PAGE = r"""
#let page-data = json(bytes(sys.inputs.page))
#let sans = "DejaVu Sans Mono"
#let small = 8.5pt
#let side = 11mm

#set document(title: page-data.title + ", " + page-data.subtitle, date: none)
#set text(font: ("Libertinus Serif", sans), size: 10pt, lang: "en", hyphenate: false)
#set table.cell(breakable: false)
#set par(leading: 0.45em, spacing: 0.6em, justify: false)

#let fixed(size, body) = text(font: (sans, "Libertinus Serif"), size: size, weight: "bold", body)
#let note(body) = text(size: small, body)
#let said(words) = words.split("\n").join(linebreak())
#let square = box(width: 8.5pt, height: 8.5pt, stroke: 0.8pt, baseline: 1pt)

#show heading.where(level: 1): it => block(above: 0pt, below: 5pt, text(size: 16pt, it.body))
#show heading.where(level: 2): it => block(above: 12pt, below: 6pt, width: 100%,
  stroke: (bottom: 1.2pt), inset: (bottom: 5pt), sticky: true, text(size: 13.5pt, it.body))
#show heading.where(level: 3): it => block(above: 9pt, below: 4pt, sticky: true, text(size: 11pt, it.body))

#let banner = if page-data.banner != "" {
  block(width: 100%, stroke: 1.2pt, inset: 3pt, above: 4pt, below: 0pt,
    align(center, strong(page-data.banner)))
}
#let running-head = context {
  grid(columns: (1fr, auto, auto), column-gutter: 12pt, align: bottom,
    strong(page-data.title + ", " + page-data.subtitle), note(page-data.day),
    note[page #counter(page).display() of #counter(page).final().first()],
  )
  line(length: 100%, stroke: 0.5pt)
  banner
}
#let running-foot = {
  line(length: 100%, stroke: 0.5pt)
  v(2pt, weak: true)
  note(page-data.foot)
  linebreak()
  note(page-data.made)
}
#let paper-width = if page-data.paper == "a4" { 210mm } else { 8.5in }
#let tall(body) = measure(block(width: paper-width - 2 * side, body)).height

#show: body => context {
  let head = tall(running-head)
  let foot = tall(running-foot)
  set page(
    paper: page-data.paper,
    margin: (x: side, top: side + head + 7pt, bottom: 8mm + foot + 5pt),
    header: running-head, header-ascent: 7pt,
    footer: running-foot, footer-descent: 5pt,
  )
  body
}

#let show-words(b) = {
  if b.tone == "box" { block(width: 100%, stroke: 1.6pt, inset: 6pt, above: 6pt, below: 6pt, said(b.text)) }
  else if b.tone == "strong" { block(above: 5pt, below: 5pt, strong(said(b.text))) }
  else if b.tone == "note" { block(above: 4pt, below: 4pt, note(said(b.text))) }
  else { block(above: 5pt, below: 5pt, said(b.text)) }
}
#let write-line = box(width: 1fr, line(length: 100%, stroke: 0.6pt))
#let show-pairs(b) = block(above: 5pt, below: 5pt, grid(
  columns: (1fr,) * b.columns, column-gutter: 10pt, row-gutter: 6pt, align: bottom,
  ..b.pairs.map(((label, value)) => {
    note(label)
    linebreak()
    if value == "" { v(9pt); line(length: 100%, stroke: 0.6pt) } else { strong(said(value)) }
  }),
))
#let cell(column, words) = {
  if column.ticks.len() > 0 {
    if words != "" { said(words); linebreak() }
    for label in column.ticks { box[#square #note(label)]; h(5pt) }
  }
  else if column.big { fixed(11pt, words.split("\n").first())
    for more in words.split("\n").slice(1) { linebreak(); note(more) } }
  else if column.lead and "\n" in words { strong(words.split("\n").first())
    linebreak(); said(words.split("\n").slice(1).join("\n")) }
  else { said(words) }
}
#let show-table(b) = { set text(size: 9pt); table(
  columns: b.columns.map(c => c.width * 1fr),
  inset: (x: 3pt, y: 3.5pt),
  align: (x, y) => if b.columns.at(x).right { right + horizon } else { left + horizon },
  stroke: (x, y) => if y > 0 and b.columns.at(x).write { 0.9pt } else { (bottom: 0.5pt) },
  rows: if b.columns.any(c => c.write) { (auto, ) } else { auto },
  table.header(..b.columns.map(c => align(bottom, note(strong(c.head))))),
  ..b.rows.map(row => row.enumerate().map(((i, words)) => {
    let column = b.columns.at(i)
    if column.write and words == "" { block(height: 6.5mm, width: 100%) } else { cell(column, words) }
  })).flatten(),
) }
#let show-ticks(b) = block(above: 5pt, below: 5pt, grid(
  columns: (1fr,) * b.columns, column-gutter: 8pt, row-gutter: 5pt,
  ..b.items.map(item => grid(columns: (9pt, 1fr), column-gutter: 5pt, square, said(item))),
))
#let show-lines(b) = {
  if b.tall > 1 {
    for label in b.labels { block(breakable: false, above: 7pt, below: 5pt, width: 100%, {
      note(label)
      for i in range(b.tall) { v(7.5mm); line(length: 100%, stroke: 0.5pt) }
    }) }
  } else {
    block(above: 7pt, below: 6pt, grid(columns: (1fr,) * b.columns, column-gutter: 10pt, row-gutter: 5mm,
      ..b.labels.map(label => [#note(label) #write-line])))
  }
}
#let show-picture(b) = block(breakable: false, above: 5pt, below: 5pt, {
  image(b.file, alt: b.alt, width: b.width * 100%)
  if b.caption != "" { v(3pt, weak: true); note(b.caption) }
})
#let show-gallery(b) = grid(columns: (1fr,) * b.columns, column-gutter: 6pt, row-gutter: 6pt,
  ..b.pictures.map(show-picture))
#let shown = (
  "heading": b => heading(level: b.level, b.text),
  "words": show-words, "pairs": show-pairs, "table": show-table, "ticks": show-ticks, "lines": show-lines,
  "picture": show-picture, "gallery": show-gallery, "new-page": b => pagebreak(weak: true),
)

#heading(level: 1, page-data.title)
#for b in page-data.blocks { (shown.at(b.kind))(b) }
"""
"""The page, as source for the page engine."""
