/** The calendar of looks: what is on record, what is planned, what breaks when a window falls away, what would help. */
import { useMemo, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { clock } from '../../units';
import { useAsked, useWork } from '../asked';
import { Faults } from '../parts/Faults';
import { WorkBar } from '../parts/WorkBar';
import { line, present, units } from '../state';
import { Chart, type Band, type Day, type Row } from './Chart';
import { Compare } from './Compare';
import { broken, fallen, looksOf, tried, type Moved, type Plan } from './gaps';
import { Breaks, SetTable, Verdict } from './Verdict';
import { Windows, type WindowKept } from './Windows';
import { Without } from './Without';
import { words } from './words';
import './weeks.css';

interface DueTold {
  sets: { set: string; parcel: string; verified: boolean; words: string; due_at: string | null; last_seen: string | null }[];
}
export interface DaysTold {
  days: Day[];
  windows: WindowKept[];
  snow: { at: string; depth_m: number | null; new_m: number | null }[];
  people: string[];
  kept: string[];
}

const NONE: ReadonlySet<number> = new Set();
const STILL: Moved = new Map();
const depth = (metres: number): string => (units.value === 'us' ? `${Math.round(metres / 0.0254)} in` : `${Math.round(metres * 100)} cm`);

export function Weeks() {
  const [asked, setAsked] = useState({ days: '14', mornings: null as string | null, evenings: '', seconds: '30', safe: '', own: false, record: false });
  const [held, setHeld] = useState<Plan | null>(null);
  const [out, setOut] = useState<ReadonlySet<number>>(NONE);
  const [moved, setMoved] = useState<Moved>(STILL);
  const due = useAsked<DueTold>('due');
  const days = useAsked<DaysTold>('days', { days: Math.min(60, Math.max(1, Number(asked.days) || 14)) });
  const round = useAsked<{ round: { earliest_start: string; latest_return: string } | null }>('tonight').data?.round;
  const working = useWork<Plan>('weeks');
  const plan = working.answer;
  const zone = line.value?.zone ?? 'UTC';
  const at = (when: string | number): string => clock(when, zone, present());
  const hour = (when: string): string => when.slice(11, 16);
  const usual = days.data?.windows.length || !round ? '' : `${hour(round.earliest_start)}-${hour(round.latest_return)}`;
  const mornings = asked.mornings ?? usual;
  const looks = useMemo(() => (plan ? looksOf(plan) : new Map()), [plan]);
  const gone = useMemo(() => (plan ? fallen(plan, out, moved) : NONE), [plan, out, moved]);
  const breaks = useMemo(() => (plan ? broken(plan, gone) : []), [plan, gone]);
  const begin = (more: object = {}): void => {
    setOut(NONE);
    setMoved(STILL);
    working.begin({
      days: Number(asked.days) || 14, mornings: mornings.trim(), evenings: asked.evenings.trim(), seconds: Number(asked.seconds) || 30,
      own: asked.own ? 'also' : 'shown', record: asked.record, ...(asked.safe ? { safe: Number(asked.safe) / 100 } : {}), ...more,
    });
  };
  const toggle = (outing: number): void => {
    const now = new Set(out);
    if (!now.delete(outing)) now.add(outing);
    setOut(now);
  };
  const move = (outing: number, window: { from: number; to: number }): void => setMoved(new Map(moved).set(outing, window));
  const taken = new Set((plan?.outings ?? []).map((one) => `${one.who} ${Date.parse(one.window.from)}`));
  const idle: Band[] = (days.data?.windows ?? []).map((one) => ({ who: one.who, from: Date.parse(one.from), to: Date.parse(one.to) })).filter((one) => !taken.has(`${one.who} ${one.from}`));
  const rows: Row[] = (due.data?.sets ?? []).map((one) => ({
    set: one.set, parcel: one.parcel, verified: one.verified, words: one.words,
    lastSeen: one.last_seen === null ? null : Date.parse(one.last_seen), due: one.due_at === null ? null : Date.parse(one.due_at),
  }));
  const from = plan ? Date.parse(plan.from) : Date.parse(line.value?.now ?? new Date().toISOString());
  const to = plan ? Date.parse(plan.to) : from + (Number(asked.days) || 14) * 86_400_000;
  const left = plan ? plan.outings.filter((_, number) => !gone.has(number)) : [];
  return (
    <div class="weeks">
      <Heading>{words.title}</Heading>
      <form class="card asks noprint" onSubmit={(event) => { event.preventDefault(); begin(); }}>
        <h2>{words.ask.title}</h2>
        {(['days', 'mornings', 'evenings', 'seconds', 'safe'] as const).map((key) => (
          <label key={key}>{words.ask[key]} <input class={key} value={key === 'mornings' ? mornings : asked[key]} inputMode={key === 'mornings' || key === 'evenings' ? 'text' : 'numeric'} onInput={(event) => setAsked({ ...asked, [key]: event.currentTarget.value })} /></label>
        ))}
        <label><input type="checkbox" checked={asked.own} onChange={(event) => setAsked({ ...asked, own: event.currentTarget.checked })} /> {words.ask.own}</label>
        <label><input type="checkbox" checked={asked.record} onChange={(event) => setAsked({ ...asked, record: event.currentTarget.checked })} /> {words.ask.keep}</label>
        <button type="submit" class="go">{words.ask.plan}</button>
        <small>{words.ask.hint}</small>
        <WorkBar working={working} />
      </form>
      <Faults faults={[...due.faults, ...days.faults]} />
      {plan ? <Verdict plan={plan} at={at} warnings={working.work?.warnings ?? []} /> : <p>{words.none}</p>}
      <Chart rows={rows} looks={looks} outings={plan?.outings ?? []} gone={gone} moved={moved} idle={idle} broken={breaks} days={days.data?.days ?? []} from={from} to={to} zone={zone} onToggle={toggle} onMove={move} />
      <p class="legend">
        <span class="key bar" /> {words.legend.bar} <span class="key limit" /> {words.legend.limit} <span class="key limit open" /> {words.legend.open}{' '}
        <span class="key over" /> {words.legend.broken} <span class="key window" /> {words.legend.window} <span class="key night" /> {words.legend.night}
        {days.data?.snow.slice(-1).map((one) => <span key={one.at}> · {words.snow(one.depth_m === null ? '' : depth(one.depth_m), at(one.at))}</span>)}
      </p>
      <Breaks breaks={breaks} touched={out.size + moved.size > 0} at={at} onAgain={() => begin(tried(plan!, out, moved))} />
      <Windows plan={plan} gone={out} moved={moved} zone={zone} onToggle={toggle} onMove={move} windows={days.data?.windows ?? []} people={days.data?.people ?? []} at={at} />
      <Compare plan={plan} held={held} kept={days.data?.kept ?? []} onHold={setHeld} />
      <Without people={days.data?.people ?? []} asked={{ ...asked, mornings }} />
      {plan && <SetTable plan={plan} at={at} />}
      {plan && left.length > 0 && <p class="noprint"><a href="#/round">{words.next(at(left[0]!.leave))}</a></p>}
    </div>
  );
}
