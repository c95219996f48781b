/** A build laid out: its stops along the cable, drawn to scale; reach, weight, cost; and the laws. */
import { small, weight } from '../../units';
import { units } from '../state';
import type { BuildTold, Law } from './told';
import { words } from './words';

const WIDE = 640;
const LEFT = 20;

export function Laid({ told }: { told: BuildTold }) {
  const unit = units.value;
  const length = (metres: number): string => small(metres, unit);
  const rows = [
    ['largest', told.largest] as const,
    ...(told.smallest ? [['smallest', told.smallest] as const] : []),
  ];
  return (
    <section class="card" aria-labelledby="laid">
      <h2 id="laid">{told.build}: {words.laid.title.toLowerCase()}</h2>
      <Cable told={told} />
      <table>
        <thead><tr>{words.laid.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>
          {rows.map(([name, loop]) => (
            <tr key={name}>
              <th scope="row">{words.laid[name]}</th><td>{length(loop.stop_m)}</td><td>{length(loop.around_m)}</td><td>{length(loop.across_m)}</td>
            </tr>
          ))}
          <tr><th scope="row">{words.laid.cable}</th><td>{length(told.cable_length_m)}</td><td /><td /></tr>
        </tbody>
      </table>
      {told.smallest === null && <p>{words.laid.noSmallest}</p>}
      <p>{words.laid.lock(length(told.to_lock_m), length(told.to_lock_open_m))}</p>
      <p>{words.laid.reach(words.to(length(told.reach.low_m), length(told.reach.high_m)))}</p>
      <p>
        {words.laid.mass}: <b>{weight(told.mass.kg, unit)}</b>{without(told.mass.without)}.{' '}
        {words.laid.cost}: <b>{told.cost.total.toFixed(2)}</b>{without(told.cost.without)}.
      </p>
      <p><small>{words.laid.how}</small></p>
    </section>
  );
}

const without = (parts: string[]): string => (parts.length ? ` ${words.laid.without(parts.join(', '))}` : '');

function Cable({ told }: { told: BuildTold }) {
  const x = (metres: number): number => LEFT + (metres / told.cable_length_m) * (WIDE - 2 * LEFT);
  const anchor = (metres: number): 'start' | 'middle' | 'end' => {
    const share = metres / told.cable_length_m;
    return share < 0.25 ? 'start' : share > 0.75 ? 'end' : 'middle';
  };
  const marks = [
    ...(told.smallest ? [{ at: told.smallest.stop_m, words: words.laid.smallest }] : []),
    { at: told.largest.stop_m, words: words.laid.largest },
  ];
  return (
    <svg class="drawn" viewBox={`0 0 ${WIDE} 92`} role="img" aria-label={words.laid.alt}>
      <path d={`M ${LEFT} 34 H ${WIDE - LEFT}`} stroke="currentColor" stroke-width="4" />
      <circle cx={LEFT} cy="34" r="5" fill="currentColor" />
      <circle cx={WIDE - LEFT} cy="34" r="9" fill="none" stroke="currentColor" stroke-width="3" />
      <text x={LEFT} y="16" text-anchor="start">{words.laid.tip}</text>
      <text x={WIDE - LEFT} y="16" text-anchor="end">{words.laid.eye}</text>
      {marks.map((one, place) => (
        <g key={one.words}>
          <rect x={x(one.at) - 4} y="24" width="8" height="20" fill="currentColor" />
          <text x={x(one.at)} y={place ? 84 : 62} text-anchor={anchor(one.at)}>{one.words}, {small(one.at, units.value)}</text>
        </g>
      ))}
    </svg>
  );
}

export function Laws({ laws }: { laws: Law[] }) {
  const ours = laws.filter((one) => one.in_use);
  const others = laws.filter((one) => !one.in_use);
  return (
    <section class="card" aria-labelledby="laws">
      <h2 id="laws">{words.laws.title}</h2>
      <LawTable laws={ours} />
      {others.length > 0 && (
        <details>
          <summary>{words.laws.others(others.length)}</summary>
          <LawTable laws={others} />
        </details>
      )}
    </section>
  );
}

function LawTable({ laws }: { laws: Law[] }) {
  return (
    <table>
      <thead><tr>{words.laws.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
      <tbody>
        {laws.map((one) => (
          <tr key={one.profile} class={one.wrong.length ? 'wrong' : ''}>
            <th scope="row">{one.profile} {one.in_use && <small>{words.laws.inUse}</small>}</th>
            <td><span aria-hidden="true">{one.wrong.length ? '▲' : one.verified ? '✓' : '?'}</span> {one.standing}</td>
            <td>
              {one.wrong.map((each) => (
                <div key={each.rule}>{each.words} {each.said[0]} <small>{each.rule}{each.source && `; ${each.source}`}</small></div>
              ))}
              {one.cannot_be_told.length > 0 && <div>{words.laws.untold}: {one.cannot_be_told.map((each) => each.rule).join(', ')}</div>}
              {one.kept > 0 && <div>{words.laws.kept(one.kept)}</div>}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
