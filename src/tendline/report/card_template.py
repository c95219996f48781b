"""Owns how a route card looks on the page, in the language of the page engine.

Does not own a single word of data: that comes in as JSON under the name `card`, so that no name can be
taken for markup. Sizes are for a person at arm's length with a headlamp and a pencil:
names and limits 14 pt or more, nothing under 9 pt, boxes to write in at least 10 mm high.
"""

ROUTE_CARD = r"""
#let card = json(bytes(sys.inputs.card))
#let sans = "DejaVu Sans Mono"
#let small = 9pt
#let shade = luma(225)
#let side = 9mm
#let box-height = 10mm

#set document(title: card.title, date: none)
#set text(font: ("Libertinus Serif", sans), size: 10pt, lang: "en", hyphenate: false)
#set par(leading: 0.42em, spacing: 0.5em, justify: false)

#let fixed(size, body) = text(font: (sans, "Libertinus Serif"), size: size, weight: "bold", body)
#let note(body) = text(size: small, body)

#let banner = if card.banner != "" {
  block(width: 100%, stroke: 1.5pt, inset: 3pt, above: 3pt, below: 0pt, align(center, strong(card.banner)))
}
#let running-head = context {
  grid(columns: (1fr, auto, auto), column-gutter: 12pt, align: bottom,
    text(size: 15pt, weight: "bold", card.line),
    text(size: 12pt, weight: "bold", card.day),
    text(size: 12pt)[page #counter(page).display() of #counter(page).final().first()],
  )
  banner
}
#let running-foot = {
  line(length: 100%, stroke: 0.5pt)
  v(2pt, weak: true)
  note(card.caution)
}
#let paper-width = if card.paper == "a4" { 210mm } else { 8.5in }
#let tall(body) = measure(block(width: paper-width - 2 * side, body)).height

#show: body => context {
  let head = tall(running-head)
  let foot = tall(running-foot)
  set page(
    paper: card.paper,
    margin: (x: side, top: side + head + 6pt, bottom: 7mm + foot + 5pt),
    header: running-head, header-ascent: 6pt,
    footer: running-foot, footer-descent: 5pt,
  )
  body
}

// What does not fit, before anything else.
#if card.left_heading != "" {
  block(width: 100%, stroke: 2.5pt, inset: 6pt, {
    text(size: 15pt, weight: "bold", card.left_heading)
    grid(columns: (auto, auto, 1fr), column-gutter: 12pt, row-gutter: 5pt, align: horizon, inset: (top: 2pt),
      ..for row in card.left_out {
        (fixed(14pt, row.name), fixed(14pt, "due " + row.due), [#row.landmark. #strong(row.why)])
      }
    )
    for (kind, what) in card.left_help { block(above: 5pt, below: 0pt, [*#kind:* #what]) }
  })
}
#if card.may_wait != "" { block(above: 4pt, below: 4pt, card.may_wait) }

// Times and sun.
#let figures(pairs, size) = pairs.map(((label, value)) => align(left, {
  note(label)
  linebreak()
  fixed(size, value)
}))
#block(width: 100%, stroke: (y: 1pt), inset: (y: 4pt), above: 4pt, below: 4pt, grid(
  columns: (1fr, 1fr, 1fr, 1.2fr, 0.75fr, 0.75fr, 0.75fr, 0.75fr), column-gutter: 4pt,
  ..figures(card.times, 14pt), ..figures(card.sun, 11pt),
))
#grid(columns: (1fr, auto), column-gutter: 10pt, [
  #if card.who != "" [Goes: *#card.who*. ]
  #if card.dark != "" { strong(card.dark) }
], note(card.times_are))
#if card.unverified != "" { block(above: 4pt, below: 0pt, fixed(10pt, card.unverified)) }
#v(3mm)
#grid(columns: (auto, 2.6cm, auto, 1fr, auto, 3.8cm), align: bottom, column-gutter: 4pt,
  [If not back by], line(length: 100%, stroke: 0.8pt), [call], line(length: 100%, stroke: 0.8pt), [phone],
  line(length: 100%, stroke: 0.8pt))

// The bag.
#let in-columns(number, items, gap) = {
  let rows = calc.ceil(items.len() / number)
  grid(columns: (1fr,) * number, column-gutter: 6pt, row-gutter: gap,
    ..range(rows * number).map(i => {
      let at = calc.rem(i, number) * rows + calc.quo(i, number)
      if at < items.len() { items.at(at) }
    }))
}
#block(above: 9pt, below: 7pt, width: 100%, in-columns(4, card.carry.map(thing =>
  grid(columns: (8pt, 1fr), column-gutter: 4pt, box(width: 8pt, height: 8pt, stroke: 0.8pt), thing)), 5pt))

// The round.
#let ring(sign) = grid(columns: (19pt, 1fr), column-gutter: 3pt, align: horizon,
  image(bytes(sign.svg), format: "svg", width: 19pt, alt: sign.number + " " + sign.word),
  { if sign.number != "" { text(weight: "bold", sign.number); linebreak() }; note(sign.word) },
)
#let write-in(where, body) = table.cell(stroke: 1.1pt, inset: 2pt, align: where, {
  block(height: box-height - 4pt, align(where, body))
})
#let set-row(row) = (
  table.cell(align: center + horizon, fixed(11pt, str(row.order))),
  { fixed(14pt, row.name); h(1fr); note(row.tag); linebreak(); row.landmark
    if row.extra != "" { linebreak(); note(strong(row.extra)) } },
  { fixed(11pt, row.there); if row.dark { note[ dark] }; linebreak(); note(row.walk)
    if row.wait != "" { linebreak(); note(strong(row.wait)) } },
  { note(row.last_day); linebreak(); text(size: 10pt, row.last_clock) },
  { if row.due_day != "" { fixed(14pt, row.due_day + " ") }
    fixed(14pt, row.due_clock); linebreak(); note(row.due_note) },
  ring(row.sign),
  write-in(bottom + right, note[W U P]),
  write-in(center + horizon, fixed(13pt)[:]),
)
#let stop-inset = (x: 3pt, y: 4pt)
#let stop-stroke = (top: 1.6pt, bottom: 0.6pt)
#let stop-row(stop) = table.cell(colspan: 8, fill: shade, stroke: stop-stroke, inset: stop-inset, {
  grid(columns: (1fr, auto, auto), column-gutter: 10pt, align: bottom,
    fixed(12pt, stop.title),
    [#stop.drive, *stop #fixed(12pt, stop.arrive)*],
    [#stop.back, *leave #fixed(12pt, stop.leave)*],
  )
  if stop.note != "" { v(5pt, weak: true); strong(stop.note) }
})
#let heading(body) = align(bottom, note(strong(body)))
#let headings = ([no.], [set, and where], [there, walk], [last look], [due by],
  [left when\ you get there], [outcome], [time])
#table(
  columns: (20pt, 1fr, 61pt, 34pt, 82pt, 60pt, 74pt, 50pt),
  inset: (x: 2.5pt, y: 3.5pt), align: left + horizon,
  stroke: (x, y) => (bottom: 0.5pt),
  table.header(..headings.map(heading)),
  ..for stop in card.stops {
    (table.header(level: 2, stop-row(stop)), ..for row in stop.rows { set-row(row) })
  },
)
#block(width: 100%, fill: shade, stroke: (y: 1.6pt), inset: stop-inset, above: 0pt, below: 7pt,
  grid(columns: (1fr, auto), align: bottom,
    fixed(12pt, card.home.title),
    [#card.home.drive, *there #fixed(12pt, card.home.arrive)*],
  ))

// The foot of the card.
#for line in card.warnings { block(above: 3pt, below: 0pt, line) }
#block(breakable: false, above: 8pt, width: 100%, stroke: (top: 0.8pt), inset: (top: 4pt), {
  [*Outcome:* capitals for how it was found, small letters for what had happened, as in *K de*;
    with an animal, its name. Or write the word. Then circle how you left it:
    *W* working, *U* unset, *P* pulled.]
  let pair(code, word) = note[#box(width: 15pt, fixed(small, code))#word]
  block(above: 6pt, below: 0pt, in-columns(6, card.legend.map(p => pair(..p)), 4pt))
})
#block(above: 6pt, { for rule in card.rules { block(above: 2pt, below: 0pt, note(rule)) } })
#block(above: 3pt, note(card.made))
"""
"""The page, as source for the page engine."""
