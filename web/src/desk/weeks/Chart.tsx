/** The gap chart: a row a set, a bar from look to look, a thin line on to the legal limit. Only rows in sight are drawn. */
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import type { Broken, Look, Moved, Outing } from './gaps';
import { words } from './words';

export interface Row {
  set: string;
  parcel: string;
  lastSeen: number | null;
  due: number | null;
  verified: boolean;
  /** How the due list words its limit. */
  words: string;
}
export interface Day {
  day: string;
  sunrise: string | null;
  sunset: string | null;
}
interface Asked {
  rows: Row[];
  looks: Map<string, Look[]>;
  outings: Outing[];
  /** Outings that cannot be made as planned. */
  gone: ReadonlySet<number>;
  moved: Moved;
  /** Windows in which nobody goes. */
  idle: Band[];
  broken: Broken[];
  days: Day[];
  from: number;
  to: number;
  zone: string;
  onToggle: (outing: number) => void;
  onMove: (outing: number, window: { from: number; to: number }) => void;
}
export interface Band {
  who: string;
  from: number;
  to: number;
}

const ROW = 18;
const LABEL = 128;
const STRIP = 20;
const AXIS = 24;
/** How far a window is pulled before it counts as taken off [px]. */
const PULL = 24;
/** By how much an edge of a window is pulled at a time [ms]. */
const STEP = 15 * 60_000;

type Line = { parcel: string } | { row: Row };

export function Chart(asked: Asked) {
  const { rows, outings, days, from, to, zone } = asked;
  const box = useRef<HTMLDivElement>(null);
  const [width, setWidth] = useState(1000);
  const [top, setTop] = useState(0);
  useEffect(() => {
    const look = new ResizeObserver(() => box.current && setWidth(box.current.clientWidth));
    if (box.current) look.observe(box.current);
    return () => look.disconnect();
  }, []);
  const lines = useMemo<Line[]>(() => {
    const found: Line[] = [];
    for (const row of [...rows].sort((a, b) => a.parcel.localeCompare(b.parcel) || a.set.localeCompare(b.set, undefined, { numeric: true }))) {
      const last = found[found.length - 1];
      if (last === undefined || ('row' in last && last.row.parcel !== row.parcel)) found.push({ parcel: row.parcel || words.noParcel });
      found.push({ row });
    }
    return found;
  }, [rows]);
  const x = (at: number): number => LABEL + ((Math.min(Math.max(at, from), to) - from) / (to - from)) * (width - LABEL - 8);
  const span = (px: number): number => (px * (to - from)) / (width - LABEL - 8);
  const people = [...new Set([...outings, ...asked.idle].map((one) => one.who))];
  const head = AXIS + people.length * STRIP + 6;
  const shown = Math.ceil(560 / ROW) + 12;
  const first = Math.max(0, Math.floor(top / ROW) - 6);
  const nights = days.flatMap((one, place) => {
    const next = days[place + 1];
    return one.sunset && next?.sunrise ? [[Date.parse(one.sunset), Date.parse(next.sunrise)] as const] : [];
  });
  const late = useMemo(() => new Map(asked.broken.map((one) => [one.set, one])), [asked.broken]);
  const short = new Intl.DateTimeFormat('en-GB', { weekday: days.length > 20 ? 'narrow' : 'short', day: 'numeric', timeZone: zone });
  return (
    <div class="gaps" ref={box} onScroll={(event) => setTop(event.currentTarget.scrollTop)} tabIndex={0} role="group" aria-label={words.chartName(rows.length, days.length)}>
      <svg class="head" width={width} height={head}>
        {nights.map(([a, b]) => <rect key={a} class="night" x={x(a)} width={Math.max(0, x(b) - x(a))} y={0} height={head} />)}
        {days.map((one) => {
          const noon = (Date.parse(one.sunrise ?? `${one.day}T06:00Z`) + Date.parse(one.sunset ?? `${one.day}T18:00Z`)) / 2;
          return noon > from && noon < to ? <text key={one.day} x={x(noon)} y={16} class="day">{short.format(noon)}</text> : null;
        })}
        {people.map((who, place) => <text key={who} x={4} y={AXIS + place * STRIP + 14} class="who">{who.slice(0, 16)}</text>)}
        {asked.idle.filter((one) => one.to > from && one.from < to).map((one) => <rect key={`${one.who} ${one.from}`} class="window idle" x={x(one.from)} width={Math.max(3, x(one.to) - x(one.from))} y={AXIS + people.indexOf(one.who) * STRIP} height={STRIP - 4} />)}
        {outings.map((one, number) => {
          const window = asked.moved.get(number) ?? { from: Date.parse(one.window.from), to: Date.parse(one.window.to) };
          return <Outside key={number} outing={one} window={window} gone={asked.gone.has(number)} x={x} span={span} y={AXIS + people.indexOf(one.who) * STRIP} zone={zone} onToggle={() => asked.onToggle(number)} onMove={(now) => asked.onMove(number, now)} />;
        })}
      </svg>
      <svg class="body" width={width} height={lines.length * ROW + 4} role="img" aria-label={words.chart}>
        <defs>
          <pattern id="over" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><rect width="3" height="6" class="hatch" /></pattern>
        </defs>
        {nights.map(([a, b]) => <rect key={a} class="night" x={x(a)} width={Math.max(0, x(b) - x(a))} y={0} height={lines.length * ROW + 4} />)}
        {lines.slice(first, first + shown).map((one, place) => {
          const y = (first + place) * ROW;
          if ('parcel' in one) return <text key={`p-${one.parcel}`} x={2} y={y + 13} class="parcel">{one.parcel.slice(0, 18)}</text>;
          return <RowShown key={one.row.set} row={one.row} y={y} x={x} from={from} to={to} looks={asked.looks.get(one.row.set) ?? []} gone={asked.gone} late={late.get(one.row.set)} />;
        })}
      </svg>
    </div>
  );
}

function RowShown({ row, y, x, from, to, looks, gone, late }: { row: Row; y: number; x: (at: number) => number; from: number; to: number; looks: Look[]; gone: ReadonlySet<number>; late: Broken | undefined }) {
  const kept = looks.filter((one) => !gone.has(one.outing));
  const bars: { a: number; b: number | null; due: number | null }[] = [];
  let since = row.lastSeen ?? from;
  let due = row.due;
  for (const look of looks) {
    due ??= look.due;
    if (gone.has(look.outing)) continue;
    bars.push({ a: since, b: look.at, due: due ?? look.due });
    since = look.at;
    due = null;
  }
  bars.push({ a: since, b: null, due });
  const first = kept[0]?.at ?? to;
  const passed = row.due !== null && !late && (row.due <= from || (looks.length > 0 && row.due < first)) ? Math.max(row.due, from) : null;
  const said = Math.max(since, due ?? since, from);
  return (
    <g class={row.verified ? '' : 'open'}>
      <text x={18} y={y + 13}>{row.set.slice(0, 14)}</text>
      {bars.map((one, place) => {
        const lane = y + (place % 2 === 0 ? 6 : 12); // two lanes, so that a limit shows beside the next bar
        return (
          <g key={place}>
            {one.due !== null && one.due > from && <line class="limit" x1={x(Math.max(one.a, from))} x2={x(one.due)} y1={lane} y2={lane} />}
            {one.due !== null && one.due > from && one.due < to && <line class="end" x1={x(one.due)} x2={x(one.due)} y1={lane - 3} y2={lane + 3} />}
            {one.b !== null && <rect class="bar" x={x(one.a)} width={Math.max(1, x(one.b) - x(one.a))} y={lane - 2} height={4} />}
          </g>
        );
      })}
      {late && <rect class="over" x={x(late.due)} width={Math.max(4, x(late.next ?? to) - x(late.due))} y={y + 2} height={14} fill="url(#over)" />}
      {passed !== null && <rect class="over" x={x(passed)} width={Math.max(4, x(first) - x(passed))} y={y + 2} height={14} fill="url(#over)" />}
      {row.verified && row.due === null && kept.length === 0 && <text class="said" x={LABEL + 4} y={y + 13}>{row.words}</text>}
      {!row.verified && <text class="said" x={Math.min(x(said) + 6, x(to) - 76)} y={y + 13}>{words.legend.open}</text>}
      {kept.map((one) => <circle key={one.at} class="look" cx={x(one.at)} cy={y + 9} r={3.2} />)}
    </g>
  );
}

interface Pulled {
  outing: Outing;
  window: { from: number; to: number };
  gone: boolean;
  x: (at: number) => number;
  span: (px: number) => number;
  y: number;
  zone: string;
  onToggle: () => void;
  onMove: (window: { from: number; to: number }) => void;
}

/** One outing in its window: pulled off whole, or by an edge; Enter leaves it out, arrow keys move the end, with Shift the start. */
function Outside({ outing, window, gone, x, span, y, zone, onToggle, onMove }: Pulled) {
  const start = useRef<{ x: number; y: number; edge: 'from' | 'to' | null; window: [number, number] } | null>(null);
  const [pull, setPull] = useState<[number, number]>([0, 0]);
  const form = new Intl.DateTimeFormat('en-GB', { weekday: 'short', hour: '2-digit', minute: '2-digit', timeZone: zone });
  const name = words.windows.of(outing.who, `${form.format(window.from)} – ${form.format(window.to)}`);
  const [left, right] = [x(window.from), x(window.to)];
  const [leave, back] = [x(Date.parse(outing.leave)), x(Date.parse(outing.back))];
  const move = (edge: 'from' | 'to', at: number): void => {
    const now = { ...window, [edge]: Math.round(at / STEP) * STEP };
    if (now.to - now.from >= STEP) onMove(now);
  };
  const begin = (event: PointerEvent, edge: 'from' | 'to' | null): void => {
    event.stopPropagation();
    start.current = { x: event.clientX, y: event.clientY, edge, window: [window.from, window.to] };
    (event.currentTarget as Element).setPointerCapture(event.pointerId);
  };
  const follow = (event: PointerEvent): void => {
    const held = start.current;
    if (!held) return;
    event.stopPropagation();
    const away: [number, number] = [event.clientX - held.x, event.clientY - held.y];
    if (held.edge) move(held.edge, held.window[held.edge === 'from' ? 0 : 1] + span(away[0]));
    else setPull(away);
  };
  const end = (event: PointerEvent): void => {
    event.stopPropagation();
    if (start.current && !start.current.edge && Math.hypot(...pull) > PULL) onToggle();
    start.current = null;
    setPull([0, 0]);
  };
  const key = (event: KeyboardEvent): void => {
    const by = event.key === 'ArrowLeft' ? -STEP : event.key === 'ArrowRight' ? STEP : 0;
    if (by !== 0) move(event.shiftKey ? 'from' : 'to', (event.shiftKey ? window.from : window.to) + by);
    else if (event.key === 'Enter' || event.key === ' ' || event.key === 'Delete') onToggle();
    else return;
    event.preventDefault();
  };
  const pulls = (edge: 'from' | 'to' | null) => ({ onPointerDown: (event: PointerEvent) => begin(event, edge), onPointerMove: follow, onPointerUp: end, onPointerCancel: end });
  return (
    <g class={gone ? 'outing gone' : 'outing'} role="button" tabindex={0} aria-pressed={gone} aria-label={`${name}${gone ? `, ${words.windows.out}` : ''}`} transform={`translate(${pull[0]} ${pull[1]})`} onKeyDown={key} {...pulls(null)}>
      <title>{name}</title>
      <rect class="window" x={left} width={Math.max(3, right - left)} y={y} height={STRIP - 4} />
      <rect class="goes" x={leave} width={Math.max(2, back - leave)} y={y + 4} height={STRIP - 12} />
      {gone && <path class="cross" d={`M ${left} ${y} L ${right} ${y + STRIP - 4} M ${left} ${y + STRIP - 4} L ${right} ${y}`} />}
      {(['from', 'to'] as const).map((edge) => <rect key={edge} class={`edge ${edge}`} x={(edge === 'from' ? left : right) - 4} width={6} y={y} height={STRIP - 4} {...pulls(edge)} />)}
    </g>
  );
}
