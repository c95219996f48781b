/** Money and hours of a season, as entered. */
import { figure, range } from './figures';
import type { SeasonTold } from './told';
import { words } from './words';

export function Money({ told }: { told: SeasonTold['money'] }) {
  const entered = Object.entries(told.entered);
  const rows = Object.entries(words.moneyRows).map(([name, shown]) => [shown, told[name] as number | null] as const);
  const each = told.cost_per_catch;
  return (
    <section class="card" aria-labelledby="money">
      <h2 id="money">{words.money}</h2>
      {entered.length === 0 && <p>{words.moneyNone}</p>}
      <table>
        <thead><tr>{words.moneyColumns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>
          {[...entered, ...rows].map(([name, value]) => (
            <tr key={name}><th scope="row">{name}</th><td>{value === null ? words.nothing : figure(value)}</td></tr>
          ))}
          <tr>
            <th scope="row">{words.perCatch}</th>
            <td>{each.value === null ? words.nothing : `${figure(each.value)} (${range(each)}; ${each.method})`}</td>
          </tr>
        </tbody>
      </table>
    </section>
  );
}
