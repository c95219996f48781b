/** What a plan comes to in words, what breaks, and the same set by set. */
import { useState } from 'preact/hooks';
import { distance, stretch } from '../../units';
import { units } from '../state';
import type { Broken, Plan } from './gaps';
import { words } from './words';

export const hours = (value: number | null | undefined): string => (value === null || value === undefined ? '' : stretch(value * 60));
const share = (value: number): string => (value > 0 && value < 0.005 ? '<1' : String(Math.round(value * 100)));

export function Verdict({ plan, at, warnings }: { plan: Plan; at: (when: string | number) => string; warnings: string[] }) {
  const has = plan.hours !== null;
  return (
    <section class={has ? 'card' : 'card mark'} aria-live="polite">
      {has ? <p><b>{plan.overdue.length ? words.feasibleOn : words.feasible}</b> {words.sums(hours(plan.hours), plan.outings.length, distance(plan.drive_m ?? 0, units.value))}.</p> : (
        <>
          <p><b>{words.impossible}</b> {plan.status === 'infeasible' ? words.proved : words.notFound}</p>
          {plan.why && <p>{words.why(plan.why.sets.join(', '), at(plan.why.until), stretch(plan.why.lacking_min))}</p>}
        </>
      )}
      {plan.overdue.length > 0 && <p class="mark">{words.overdue(plan.overdue.join(', '))}</p>}
      {has && (
        <p>
          {[
            plan.bound_h !== null && plan.bound_h > 0 && words.bound(hours(plan.bound_h), (100 * (plan.hours! / plan.bound_h - 1)).toFixed(1)),
            plan.bound_h === null && plan.floor_h !== null && words.floor(hours(plan.floor_h)),
            plan.every_day && words.daily(hours(plan.every_day.hours)),
            plan.as_before && words.before(hours(plan.as_before.hours_in_these_days)),
            plan.risk && words.risk(share(plan.risk.any_late), share(plan.risk.back_late)),
          ].filter(Boolean).join('; ')}.
        </p>
      )}
      {plan.reliefs.length > 0 && (
        <>
          <h3>{words.reliefs}</h3>
          <ol>{plan.reliefs.map((one) => <li key={one.kind + one.what}>{one.what}{one.smallest && <small> {words.smallest}</small>}</li>)}</ol>
        </>
      )}
      {[...plan.said, ...warnings].length > 0 && (
        <details>
          <summary>{words.said}</summary>
          <ul>{[...plan.said, ...warnings].map((one) => <li key={one}>{one}</li>)}</ul>
        </details>
      )}
    </section>
  );
}

export function Breaks({ breaks, touched, at, onAgain }: { breaks: Broken[]; touched: boolean; at: (when: number) => string; onAgain: () => void }) {
  if (!touched) return null;
  return (
    <section class={breaks.length ? 'mark' : 'card'} aria-live="polite" id="breaks">
      {breaks.length === 0 ? <p>{words.breaks.none}</p> : (
        <>
          <p><b>{words.breaks.title(breaks.length)}</b></p>
          <ul>{breaks.slice(0, 4).map((one) => <li key={one.set + one.due}>{words.breaks.one(one.set, at(one.due), one.next === null ? null : at(one.next))}</li>)}</ul>
        </>
      )}
      <button type="button" onClick={onAgain}>{words.breaks.again}</button>
    </section>
  );
}

export function SetTable({ plan, at }: { plan: Plan; at: (when: string) => string }) {
  const [open, setOpen] = useState(false); // a thousand rows cost time: only when they are looked at
  return (
    <details class="card" onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{words.table.title}</summary>
      <div class="scroll" tabIndex={0} role="group" aria-label={words.table.title}>
        <table>
          <thead><tr>{words.table.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {open && plan.sets.map((one) => (
              <tr key={one.set}>
                <th scope="row">{one.set}</th>
                <td>{one.looks.map(at).join(', ')}</td>
                <td>{hours(one.largest_gap_h)}</td>
                <td>{hours(one.least_slack_h)}</td>
                <td>{one.tightest_at === null ? '' : at(one.tightest_at)}</td>
                <td>{one.rule}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </details>
  );
}
