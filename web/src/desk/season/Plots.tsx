/** Every plot of a season with its numbers in a table beside it. */
import { useMemo } from 'preact/hooks';
import { Picture } from '../parts/Picture';
import { figure } from './figures';
import type { PlotTold, SeasonTold, Wait } from './told';
import { words } from './words';

const RATES = 'rates-by-';
const titleOf = (name: string): string =>
  words.plots[name] ?? (name.startsWith(RATES) ? words.ratesBy(name.slice(RATES.length).replaceAll('-', ' ')) : name);

export function Plots({ drawn, told }: { drawn: PlotTold[]; told: SeasonTold }) {
  return (
    <>
      {drawn.map((one) => (
        <section class="card plot" key={one.name} aria-labelledby={one.name}>
          <h2 id={one.name}>{titleOf(one.name)}</h2>
          <div class="beside">
            <Drawn plot={one} />
            <div>
              {one.name === 'waits' ? <Waits told={told.waits} /> : <Numbers plot={one} />}
              {one.name === 'misses' && <Shown told={told} />}
            </div>
          </div>
        </section>
      ))}
    </>
  );
}

function Drawn({ plot }: { plot: PlotTold }) {
  const content = useMemo(() => new Blob([plot.svg], { type: 'image/svg+xml' }), [plot.svg]);
  return <Picture content={content} alt={words.alt(titleOf(plot.name))} name="ink" />;
}

const told = (value: string | number | boolean | null): string =>
  value === null ? words.nothing : typeof value === 'boolean' ? (value ? words.yes : words.no) : typeof value === 'number' ? figure(value) : value;

function Numbers({ plot }: { plot: PlotTold }) {
  return (
    <table>
      <thead><tr>{plot.columns.map((one) => <th key={one} scope="col">{words.columns[one] ?? one}</th>)}</tr></thead>
      <tbody>
        {plot.rows.map((row, place) => (
          <tr key={place}>{row.map((value, column) => (column === 0 ? <th key={column} scope="row">{told(value)}</th> : <td key={column}>{told(value)}</td>))}</tr>
        ))}
      </tbody>
    </table>
  );
}

function Waits({ told: waits }: { told: SeasonTold['waits'] }) {
  const rows = [...(waits.all ? [{ ...waits.all, name: words.waits.all }] : []), ...waits.by_property];
  const law = (one: Wait): string => `${one.over_law}${one.law_untold ? `, ${words.waits.untold(one.law_untold)}` : ''}`;
  return (
    <table>
      <thead><tr>{words.waits.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
      <tbody>
        {rows.map((one) => (
          <tr key={one.name}>
            <th scope="row">{one.name}</th>
            <td>{one.looks}</td>
            <td>{words.waits.hours(one.median_h)}</td>
            <td>{words.waits.hours(one.worst_h)}</td>
            <td>{one.worst_set}</td>
            <td>{law(one)}</td>
            <td>{one.over_own}</td>
            <td>{one.held}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function Shown({ told: { misses } }: { told: SeasonTold }) {
  const found = misses.flatMap((one) => one.findings.map((each) => ({ cause: one.cause, ...each })));
  if (found.length === 0) return null;
  return (
    <>
      <h3>{words.findings}</h3>
      <ul>{found.map((one, place) => <li key={place}>{one.cause}, {one.factor}: {one.more} &gt; {one.less}. {one.try}</li>)}</ul>
    </>
  );
}
