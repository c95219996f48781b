/** What was planned, and what was done of it. */
import { clock } from '../../units';
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { line, present } from '../state';
import type { PlansTold } from './told';
import { words } from './words';

export function Plans({ days }: { days: object }) {
  const held = useAsked<PlansTold>('season-plans', days);
  const told = held.faults.length === 0 ? held.data?.plans : undefined;
  const zone = line.value?.zone ?? 'UTC';
  return (
    <section class="card" aria-labelledby="plans">
      <h2 id="plans">{words.plans.title}</h2>
      <Faults faults={held.faults} />
      {told && <p>{told.said}</p>}
      {told && told.cards.length + told.weeks.length === 0 && <p>{words.plans.none}</p>}
      {told && told.cards.length > 0 && (
        <table>
          <thead><tr>{words.plans.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {told.cards.map((one) => (
              <tr key={one.file}>
                <th scope="row">{one.file}</th>
                <td>{clock(one.leave, zone, present())}</td>
                <td>{one.planned}</td>
                <td>{one.looked.length}</td>
                <td>{one.over ? one.skipped.join(', ') || words.nothing : words.plans.notOver}</td>
                <td>{one.ratio === null ? one.no_ratio : words.plans.times(one.ratio)}</td>
                <td>{one.late_min === null ? words.nothing : words.plans.late(one.late_min)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
      {told && told.weeks.length > 0 && (
        <table>
          <thead><tr>{words.plans.weeks.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {told.weeks.map((one) => (
              <tr key={one.file}>
                <th scope="row">{one.file}</th>
                <td>{one.planned}</td>
                <td>{one.in_time}</td>
                <td>{one.late.length}</td>
                <td>{one.never.length}</td>
                <td>{one.ahead}</td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </section>
  );
}
