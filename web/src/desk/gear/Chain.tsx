/** The chain of strengths: each link as a bar on one scale of loads, the breakaway and the law's most as lines. */
import { load } from '../../units';
import { units } from '../state';
import type { ChainTold, Link } from './told';
import { words } from './words';

const WIDE = 640;
const LEFT = 235;
const ROW = 30;

const range = (low: number | null, high: number | null): string =>
  low === null ? words.chain.notKnown
    : high === null ? words.orMore(load(low, units.value))
      : words.to(load(low, units.value), load(high, units.value));

export function Chain({ told }: { told: ChainTold }) {
  const opens = told.breakaway;
  return (
    <section class="card" aria-labelledby="chain">
      <h2 id="chain">{words.chain.title}</h2>
      <p><b>{opens ? words.chain.opens(range(opens.low_n, opens.high_n)) : words.chain.unknown}</b> {told.weakest && words.chain.weakest(told.weakest)}</p>
      {opens && opens.mean_n !== null && opens.spread_n !== null && opens.next_within !== null && (
        <p>{words.chain.batch(opens.pulls, load(opens.mean_n, units.value), load(opens.spread_n, units.value), opens.next_within)}</p>
      )}
      {told.warnings.map((one) => <p key={one} class="mark">{one}</p>)}
      <Drawn told={told} />
      <table>
        <thead><tr>{words.chain.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
        <tbody>
          {told.links.map((one) => (
            <tr key={one.name} class={one.stands.includes('first') ? 'wrong' : ''}>
              <th scope="row">{one.name}</th>
              <td>{range(one.low_n, one.high_n)}</td>
              <td>{one.ratio === null ? '' : one.ratio.toFixed(2)}</td>
              <td><span aria-hidden="true">{sign(one)}</span> {one.stands}</td>
              <td><small>{one.said} ({one.status})</small></td>
            </tr>
          ))}
        </tbody>
      </table>
      {told.legal.length === 0 && <p>{words.chain.noLaw}</p>}
      <ul>
        {told.legal.map((one) => (
          <li key={one.profile + one.rule}>
            {words.chain.most(one.profile, load(one.most_n, units.value) + (one.only_if_used ? words.chain.ifUsed : ''), one.stands)}
            {!one.verified && words.chain.doubt}. <small>{one.rule}</small>
          </li>
        ))}
      </ul>
    </section>
  );
}

const sign = (one: Link): string => (one.stands.includes('first') ? '▲' : one.stands === 'holds with margin' ? '✓' : '?');

function Drawn({ told }: { told: ChainTold }) {
  const { breakaway, links, legal } = told;
  const all = [...links.flatMap((one) => [one.low_n, one.high_n]), breakaway?.high_n, ...legal.map((one) => one.most_n)];
  const most = Math.max(...all.map((one) => one ?? 0)) * 1.08;
  if (most === 0) return null;
  const x = (newtons: number): number => LEFT + (newtons / most) * (WIDE - LEFT - 10);
  const tall = links.length * ROW + 60;
  return (
    <svg class="drawn" viewBox={`0 0 ${WIDE} ${tall}`} role="img" aria-label={words.chain.alt}>
      {breakaway && (
        <>
          <rect class="soft" x={x(breakaway.low_n)} y="20" width={Math.max(3, x(breakaway.high_n) - x(breakaway.low_n))} height={tall - 44} />
          <text x={x((breakaway.low_n + breakaway.high_n) / 2)} y="14" text-anchor="middle">{words.chain.breakaway}</text>
        </>
      )}
      {legal.map((one) => <path key={one.profile + one.rule} d={`M ${x(one.most_n)} 20 V ${tall - 24}`} stroke="currentColor" stroke-dasharray="5 4" />)}
      {legal[0] && <text x={x(Math.max(...legal.map((one) => one.most_n))) + 4} y={tall - 26}>{words.chain.legal}</text>}
      {links.map((one, place) => {
        const y = 24 + place * ROW;
        const name = one.name.length > 32 ? `${one.name.slice(0, 31)}…` : one.name;
        const end = one.high_n ?? most;
        return (
          <g key={one.name}>
            <text x={LEFT - 8} y={y + 13} text-anchor="end">{name}</text>
            {one.low_n !== null ? (
              <>
                <path d={`M ${LEFT} ${y + 8} H ${x(one.low_n)}`} stroke="currentColor" />
                <rect x={x(one.low_n)} y={y} width={Math.max(4, x(end) - x(one.low_n))} height="16" fill={told.weakest === one.name ? 'currentColor' : 'none'} stroke="currentColor" stroke-width="2" />
              </>
            ) : <text x={LEFT} y={y + 13}>{words.chain.notKnown}</text>}
          </g>
        );
      })}
      <path d={`M ${LEFT} ${tall - 22} H ${WIDE - 10}`} stroke="currentColor" />
      {[0, 0.25, 0.5, 0.75, 1].map((share) => (
        <text key={share} x={x((share * most) / 1.08)} y={tall - 6} text-anchor="middle">{load((share * most) / 1.08, units.value)}</text>
      ))}
    </svg>
  );
}
