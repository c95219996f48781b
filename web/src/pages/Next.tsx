/** The next set, big: which, where, how long, and "found as" one tap away. */
import { clockOf } from '../logic/clock';
import { behind, runsOutFirst, stopOf, turnBackBy } from '../logic/order';
import { bearing, metres, octant } from '../logic/way';
import { limitWords } from '../parts/limit';
import { LoopClock } from '../parts/LoopClock';
import { heading, here } from '../store/position';
import { events, lastCheck, left, next, now, page, round, said, sets, skipped, undo } from '../store/state';
import { clock, distance, stretch } from '../units';
import { words } from '../words';
import { useState } from 'preact/hooks';
import { SkipSheet } from './SkipSheet';
import type { CarriedSet, Round } from '../wire/round';

const FIRST = ['working', 'knocked-down', 'closed', 'holding'];
const w = words.next;

export function Next() {
  const [skipping, setSkipping] = useState(false);
  const of = round.value!;
  const one = next.value;
  if (one === undefined) {
    return (
      <main>
        <h1 tabIndex={-1}>{w.none}</h1>
        <p>{w.noneHint}</p>
        <Undo />
      </main>
    );
  }
  const open = (found: string) =>
    (page.value = found === 'holding' ? { name: 'catch', set: one.name } : { name: 'check', set: one.name, found });
  return (
    <main class="next">
      <Undo />
      <h1 class="set" tabIndex={-1}>
        {one.name}
      </h1>
      <p class="landmark">{one.landmark || one.parcel}</p>
      <Limit set={one} of={of} />
      <Way set={one} of={of} />
      <PlanLine set={one} of={of} />
      <Bring set={one} of={of} />
      {one.marks.length > 0 && <p class="mark">{one.marks.join('; ')}</p>}
      <Sooner of={of} next={one} />
      <section aria-label={w.found}>
        <h2>{w.found}</h2>
        <div class="found">
          {FIRST.map((found) => (
            <button type="button" key={found} class={found} onClick={() => open(found)}>
              {words.foundAs[found]}
            </button>
          ))}
        </div>
        <button type="button" class="wide" onClick={() => open('')}>
          {w.more}
        </button>
      </section>
      <Fine set={one} of={of} />
      <button type="button" class="wide quiet" onClick={() => setSkipping(true)}>
        {w.skip}
      </button>
      {skipping && <SkipSheet set={one} onClose={() => setSkipping(false)} />}
    </main>
  );
}

function Limit({ set, of }: { set: CarriedSet; of: Round }) {
  const reading = clockOf(set, now.value);
  return (
    <p class="limit">
      <LoopClock clock={reading} size={56} />
      <span>
        <b>{limitWords(reading)}</b>
        {set.due !== null && <span>, {words.clock.by(clock(set.due, of.zone, now.value))}</span>}
      </span>
    </p>
  );
}

function Way({ set, of }: { set: CarriedSet; of: Round }) {
  const at = here.value;
  if (at === null) return <p class="way">{w.noPlace}</p>;
  const degrees = bearing(at.place, set.place);
  const turn = degrees - (heading.value ?? 0);
  return (
    <p class="way">
      <svg viewBox="0 0 24 24" width="56" height="56" aria-hidden="true">
        <path d="M 12 2 L 18 20 L 12 16 L 6 20 Z" transform={`rotate(${turn.toFixed(1)} 12 12)`} />
      </svg>
      <span>
        <b>{distance(metres(at.place, set.place), of.units)}</b> {words.directions[octant(degrees)]}
        <small>
          {w.accuracy(distance(at.accuracy, of.units))}
          {heading.value === null && `; ${w.north}`}
        </small>
      </span>
    </p>
  );
}

function PlanLine({ set, of }: { set: CarriedSet; of: Round }) {
  const stop = stopOf(of, set.name);
  const visit = stop?.visits.find((one) => one.set === set.name);
  const late = behind(of, set.name, now.value);
  const turn = turnBackBy(of, set.name);
  const near = late !== null && Math.abs(late) < 12 * 60;
  const parts = [
    stop && w.at(stop.parking),
    visit && w.planned(clock(visit.look, of.zone, now.value)),
    near && (Math.abs(late) < 1 ? w.onTime : late > 0 ? w.behind(Math.round(late)) : w.spare(Math.round(-late))),
    turn !== null && w.turnBack(clock(turn, of.zone, now.value)),
    set.tag && w.tag(set.tag),
  ];
  return <p class="plan">{parts.filter(Boolean).join(' · ')}</p>;
}

function Sooner({ of, next: one }: { of: Round; next: CarriedSet }) {
  const first = runsOutFirst(left.value.filter((name) => name !== one.name).map((name) => sets.value.get(name)!), of, now.value);
  if (first === undefined) return null;
  const minutes = (Date.parse(first.due!) - now.value) / 60_000;
  return <p class="mark">{minutes < 0 ? w.soonerLate(first.name) : w.sooner(first.name, stretch(minutes))}</p>;
}

function Bring({ set, of }: { set: CarriedSet; of: Round }) {
  const bring = stopOf(of, set.name)?.visits.find((one) => one.set === set.name)?.bring ?? [];
  return bring.length === 0 ? null : (
    <p>
      {w.bring}: {bring.join(', ')}
    </p>
  );
}

function Fine({ set, of }: { set: CarriedSet; of: Round }) {
  const stop = stopOf(of, set.name);
  const open = stop?.visits.filter((visit) => left.value.includes(visit.set)) ?? [];
  if (!stop || open.length < 2) return null;
  return (
    <button type="button" class="wide" onClick={() => (page.value = { name: 'fine', parking: stop.parking })}>
      {w.fine(open.length, stop.parking)}
    </button>
  );
}

function Undo() {
  const last = events.value.filter((one) => one.kind === 'check').at(-1);
  const name = last === undefined ? '' : String(last.body.set);
  const counts = last !== undefined && lastCheck(name)?.id === last.id && sets.value.has(name) && !skipped.value.includes(name);
  if (!counts) return said.value ? <p role="status">{said.value}</p> : null;
  return (
    <div class="undo">
      <p role="status">{said.value}</p>
      <button type="button" class="quiet" onClick={() => void undo(last, 'taken back on the phone').then(() => (said.value = w.undone(name)))}>
        {w.undo(name)}
      </button>
    </div>
  );
}
