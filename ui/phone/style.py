"""How a sheet looks on a phone: large, one hand, wet fingers; and printed."""

STYLE = """
main { max-width: 40rem; padding: 1rem 1rem 4rem; }
h1 { margin: 0 0 .5rem; } h2 { font-size: 1.3rem; line-height: 1.25; margin: 0 0 .5rem; }
h3 { font-size: 1.1rem; margin: .75rem 0 .5rem; } h4 { font-size: 1rem; margin: 1.5rem 0 .5rem; }
p { margin: 0 0 .5rem; } ul { margin: 0 0 1rem; padding-left: 1.2rem; }
a { color: var(--accent); }
nav { display: flex; flex-wrap: wrap; gap: .25rem 1.25rem; margin: 0 0 1rem; }
nav a, td a { min-height: 2.75rem; display: inline-flex;
  align-items: center; }
.now { border: 3px solid var(--accent); border-radius: .4rem; padding: 1rem; margin: 0 0 1rem; }
.times { font-weight: 700; font-size: 1.15rem; }
.mind { border-left: .3rem solid var(--now); padding-left: .6rem; }
.boxed { border: 2px solid var(--ink); padding: .25rem .6rem; font-weight: 700; }
button, input, select { min-height: 3.25rem; margin: 0 0 .75rem; }
input { font-size: 1.2rem; letter-spacing: normal; }
button.big { min-height: 4.5rem; font-size: 1.5rem; font-weight: 700; }
.with-unit { display: grid; grid-template-columns: 1fr 6rem; gap: .5rem; }
details { border-top: 1px solid var(--line); margin: 0; }
summary { min-height: 3rem; padding: .75rem 0; cursor: pointer; }
.due { border: 1px dashed var(--line); border-radius: .4rem; padding: .75rem 1rem 0;
  margin: 0 0 1rem; }
[hidden] { display: none; }
#line { position: sticky; top: 0; z-index: 1; background: var(--raised); color: var(--ink);
  border: 2px solid var(--ink); border-radius: .3rem; padding: .5rem .75rem; }
.said { border-left: .3rem solid var(--accent); padding-left: .75rem; margin-bottom: 1rem; }
.waits > summary::after { content: " (waits here until the line is back)"; font-style: italic; }
@media print { form, nav, #line { display: none; } }
"""
LOG = """
main { max-width: 60rem; }
table { border-collapse: collapse; width: 100%; font-size: .9rem; margin: 0 0 1.5rem; }
th, td { border: 1px solid var(--line); padding: .3rem .5rem; text-align: left;
  vertical-align: top; }
th { white-space: nowrap; }
@media (pointer: fine) and (min-width: 40rem) { td a { min-height: 0; } }
h2 small { font-weight: 400; color: var(--faint); }
figure { margin: 0 0 1.5rem; break-inside: avoid; } svg { width: 100%; max-width: 36rem; }
svg text { font-size: 15px; fill: var(--ink); } .axis { stroke: var(--line); }
.read { fill: none; stroke: var(--hands); stroke-width: 2.5; } circle { fill: var(--hands); }
.limit { fill: none; stroke: var(--now); stroke-width: 2; stroke-dasharray: 7 4; }
@media (max-width: 40rem) { table, tbody, tr, td { display: block; } th { display: none; }
  tr { border-top: 3px solid var(--line); } td { border: 0; padding: .1rem 0; }
  td:first-child::before { content: "No. "; } }
@media print { @page { margin: 15mm; } .ways { display: none; }
  body { font-size: 10pt; background: none; color: black; } main { max-width: none; padding: 0; }
  tr { break-inside: avoid; } h2 { break-after: avoid; }
  table { display: table; } tbody { display: table-row-group; } tr { display: table-row; }
  td, th { display: table-cell; border: 1px solid black; padding: .2rem .4rem; } }
"""
