/** The whole round: done and left, another order, what was skipped, when to be back. */
import { useState } from 'preact/hooks';
import { byDue, byNearness, first, moved, planOrder } from '../logic/order';
import { clockOf } from '../logic/clock';
import { Heading } from '../parts/Heading';
import { LoopClock } from '../parts/LoopClock';
import { here } from '../store/position';
import { chosen, left, now, order, page, round, sets, setOrder, setSkipped, skipped, stands } from '../store/state';
import { limitWords } from '../parts/limit';
import { clock } from '../units';
import { words } from '../words';
import type { CarriedSet, Round } from '../wire/round';

const w = words.round;

export function RoundPage() {
  const of = round.value!;
  const done = order.value.filter((name) => stands.value.get(name)?.done);
  const [says, setSays] = useState('');
  const rest = left.value.map((name) => sets.value.get(name)!);
  const sorted = (some: CarriedSet[], text: string) => {
    void setOrder(first(order.value, [...done, ...some.map((one) => one.name)])).then(() => setSays(text));
  };
  const from = here.value?.place ?? of.home ?? rest[0]?.place;
  return (
    <main>
      <Heading>{w.title}</Heading>
      <p>{w.done(done.length, done.length + left.value.length)}</p>
      {of.plan === null ? (
        <p class="mark">
          {w.noPlan} {of.why_no_plan}
        </p>
      ) : (
        <>
          {!of.plan.fits && <p class="mark">{w.misfit}</p>}
          <p>{w.notBack(clock(of.plan.latest_return, of.zone, now.value))}</p>
        </>
      )}
      <ol class="sets">
        {left.value.map((name) => (
          <Line key={name} set={sets.value.get(name)!} of={of} />
        ))}
      </ol>
      {rest.length > 1 && (
        <section aria-label={w.reorder}>
          <h2>{w.reorder}</h2>
          <div class="choices">
            <button type="button" onClick={() => sorted(byPlan(of, rest), w.asPlannedSays)}>{w.asPlanned}</button>
            <button type="button" onClick={() => sorted(byDue(rest), w.byDueSays)}>{w.byDue}</button>
            {from && <button type="button" onClick={() => sorted(byNearness(rest, from), w.byNearSays)}>{w.byNear}</button>}
          </div>
          <p role="status">{says}</p>
        </section>
      )}
      <Skipped />
      <button type="button" class="wide" onClick={() => (page.value = { name: 'made' })}>{words.made.open}</button>
      {of.plan !== null && of.plan.left_out.length > 0 && (
        <section aria-label={w.leftOut}>
          <h2>{w.leftOut}</h2>
          <ul>{of.plan.left_out.map((one) => <li key={one.set}>{one.set}: {one.why}</li>)}</ul>
        </section>
      )}
      {of.plan !== null && of.plan.carry.length > 0 && (
        <details>
          <summary>{w.carry}</summary>
          <ul>{of.plan.carry.map((one) => <li key={one}>{one}</li>)}</ul>
        </details>
      )}
      <section aria-label={w.cautions}>
        <h2>{w.cautions}</h2>
        <ul>{of.cautions.map((one) => <li key={one}>{one}</li>)}</ul>
      </section>
      <p>{w.made(clock(of.made_at, of.zone, now.value))}</p>
    </main>
  );
}

const byPlan = (of: Round, rest: CarriedSet[]) => {
  const way = planOrder(of);
  return [...rest].sort((a, b) => way.indexOf(a.name) - way.indexOf(b.name));
};

function Line({ set, of }: { set: CarriedSet; of: Round }) {
  const reading = clockOf(set, now.value);
  const go = () => {
    chosen.value = set.name;
    page.value = { name: 'next' };
  };
  return (
    <li>
      <button type="button" class="name" onClick={go}>
        <LoopClock clock={reading} size={28} /> <b>{set.name}</b>
        <span>
          {limitWords(reading)}
          {set.due !== null && ', '}
          {set.due !== null && words.clock.by(clock(set.due, of.zone, now.value))}
          {set.landmark && <small>{set.landmark}</small>}
        </span>
      </button>
      <button type="button" class="small" aria-label={w.up(set.name)} onClick={() => void setOrder(moved(order.value, left.value, set.name, -1))}>↑</button>
      <button type="button" class="small" aria-label={w.down(set.name)} onClick={() => void setOrder(moved(order.value, left.value, set.name, 1))}>↓</button>
    </li>
  );
}

function Skipped() {
  const names = skipped.value.filter((name) => sets.value.has(name));
  if (names.length === 0) return null;
  return (
    <section aria-label={w.stopped}>
      <h2>{w.stopped}</h2>
      <p>{w.skipNote}</p>
      {names.map((name) => (
        <button type="button" class="wide" key={name} onClick={() => void setSkipped(skipped.value.filter((one) => one !== name))}>
          {w.unskip(name)}
        </button>
      ))}
    </section>
  );
}
