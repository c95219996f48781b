/** Two plans side by side: one held, one at hand. */
import { useState } from 'preact/hooks';
import { distance } from '../../units';
import { ask, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { Faults } from '../parts/Faults';
import { units } from '../state';
import { differing, type Plan } from './gaps';
import { hours } from './Verdict';
import { words } from './words';

export function Compare({ plan, held, kept, onHold }: { plan: Plan | null; held: Plan | null; kept: string[]; onHold: (plan: Plan | null) => void }) {
  const [faults, setFaults] = useState<Fault[]>([]);
  const load = (name: string): void => {
    if (name) ask<Plan>('weeks-kept', { name }).then(onHold, (reason: unknown) => setFaults(faultsOf(reason)));
  };
  return (
    <details class="card" open={held !== null}>
      <summary>{words.compare.title}</summary>
      <p class="noprint">
        <button type="button" onClick={() => onHold(plan)} disabled={plan === null}>{words.compare.hold}</button>{' '}
        {held && <button type="button" onClick={() => onHold(null)}>{words.compare.drop}</button>}
        {kept.length > 0 && (
          <label>{words.compare.load} <select onChange={(event) => load(event.currentTarget.value)}><option value="" />{kept.map((one) => <option key={one}>{one}</option>)}</select></label>
        )}
      </p>
      <Faults faults={faults} />
      {held && plan && <Both held={held} plan={plan} />}
    </details>
  );
}

const largest = (plan: Plan): number | null => plan.sets.reduce<number | null>((most, one) => (one.largest_gap_h !== null && one.largest_gap_h > (most ?? 0) ? one.largest_gap_h : most), null);
const least = (plan: Plan): number | null => plan.sets.reduce<number | null>((few, one) => (one.least_slack_h !== null && (few === null || one.least_slack_h < few) ? one.least_slack_h : few), null);

function Both({ held, plan }: { held: Plan; plan: Plan }) {
  const rows: [string, (one: Plan) => string][] = [
    [words.compare.rows.status, (one) => (one.hours === null ? words.no : words.yes)],
    [words.compare.rows.hours, (one) => hours(one.hours)],
    [words.compare.rows.outings, (one) => String(one.outings.length)],
    [words.compare.rows.drive, (one) => (one.drive_m === null ? '' : distance(one.drive_m, units.value))],
    [words.compare.rows.gap, (one) => hours(largest(one))],
    [words.compare.rows.slack, (one) => hours(least(one))],
  ];
  const sets = differing(held, plan);
  return (
    <>
      <table class="both">
        <thead><tr><td /><th scope="col">{words.compare.held}</th><th scope="col">{words.compare.now}</th></tr></thead>
        <tbody>{rows.map(([name, of]) => <tr key={name}><th scope="row">{name}</th><td>{of(held)}</td><td>{of(plan)}</td></tr>)}</tbody>
      </table>
      <h3>{words.compare.differ}</h3>
      {sets.length === 0 ? <p>{words.compare.same}</p> : (
        <div class="scroll" tabIndex={0} role="group" aria-label={words.compare.differ}>
          <table>
            <thead><tr>{words.compare.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
            <tbody>{sets.map((one) => <tr key={one.set}><th scope="row">{one.set}</th><td>{one.looks[0]}</td><td>{one.looks[1]}</td><td>{hours(one.gap[0])}</td><td>{hours(one.gap[1])}</td></tr>)}</tbody>
          </table>
        </div>
      )}
    </>
  );
}
