/** Loose parts on record by part, and the devices that are out until they are rebuilt. */
import { clock, long } from '../../units';
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { line, present, units } from '../state';
import type { StockTold } from './told';
import { words } from './words';

export function Stock() {
  const held = useAsked<StockTold>('gear-stock');
  const zone = line.value?.zone ?? 'UTC';
  const when = (text: string): string => clock(text, zone, present());
  const told = held.data;
  if (told === null) return <Faults faults={held.faults} />;
  return (
    <div class="cards">
      <section class="card" aria-labelledby="stock">
        <h2 id="stock">{words.stock.title}</h2>
        {told.stock.length === 0 ? <p>{words.stock.none}</p> : (
          <table>
            <thead><tr>{words.stock.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
            <tbody>
              {told.stock.map((one) => (
                <tr key={`${one.part} ${one.length_m}`} class={one.count < 0 ? 'wrong' : ''}>
                  <th scope="row">{one.length_m === null ? one.part : words.stock.of(one.part, long(one.length_m, units.value))}</th>
                  <td>{one.count}</td>
                  <td>{one.received}</td>
                  <td>{one.used}</td>
                  <td>{one.counted_at === null ? words.stock.never : when(one.counted_at)}{one.off ? `: ${words.stock.off(one.off)}` : ''}</td>
                </tr>
              ))}
            </tbody>
          </table>
        )}
        <p>{words.stock.devices(told.devices.in_stock, told.devices.in_field)}</p>
        {told.unbalanced.map((one) => <p key={one} class="mark">{one}</p>)}
      </section>
      <section class="card" aria-labelledby="out">
        <h2 id="out">{words.stock.out}</h2>
        {told.out_until_rebuilt.length === 0 && <p>{words.stock.outNone}</p>}
        <ul>
          {told.out_until_rebuilt.map((one) => (
            <li key={one.tag}>
              <b>{one.tag}</b>{one.set && ` ${words.stock.at(one.set)}`}: {one.why}{one.since && `, ${when(one.since)}`}
            </li>
          ))}
        </ul>
        <p><small>{told.rebuild}</small></p>
      </section>
    </div>
  );
}
