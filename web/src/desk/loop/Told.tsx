/** What is told beside the set drawing: each rule with its source, what suits the animal, every height as a table. */
import { small } from '../../units';
import { units } from '../state';
import { words } from './words';

interface Reach {
  low_m: number;
  high_m: number | null;
}
interface Finding {
  profile: string;
  rule: string;
  holds: string;
  verified: boolean;
  words: string;
  measured: { value: string; limit: string } | null;
  said: string[];
  confirm: string[];
  citations: string[];
}
export interface DrawingTold {
  set: string | null;
  as_on_record: boolean;
  noted: string[] | null;
  loop_m: number;
  bottom_m: number;
  heights: ({ name: string; words: string; told: string } & Reach)[];
  above: { surface: string; bottom: Reach; top: Reach }[];
  suits: { loop: boolean; bottom: boolean };
  verdict: 'pass' | 'fail' | 'not verified';
  findings: Finding[];
  animal: string;
  where: string;
  profile: string | null;
  snow: { base_m: number; new_m: number; sinking_m: number | null; log_m: number | null };
  suits_across: Reach;
  suits_bottom: Reach;
  sources: { across: Reach; bottom: Reach; source: string; status: string }[];
  said: string[];
  svg: string;
}

const range = (one: Reach): string => {
  const low = small(one.low_m, units.value);
  return one.high_m === null ? words.orMore(low) : words.to(low, small(one.high_m, units.value));
};

export function Judged({ told }: { told: DrawingTold }) {
  return (
    <section class="card judged" aria-live="polite" aria-labelledby="verdict">
      <h2 id="verdict" class={`verdict ${told.verdict === 'fail' ? 'mark' : ''}`}>
        <span aria-hidden="true">{told.verdict === 'not verified' ? words.signs.open : words.signs[told.verdict]}</span> {words.verdicts[told.verdict]}
      </h2>
      {told.findings.length === 0 && <p>{words.noRule}</p>}
      <ul>{told.findings.map((one) => <Rule key={one.rule} one={one} />)}</ul>
      <p><small>{words.only}</small></p>
      <h3>{words.suits}</h3>
      <p>{words.loopSuits(told.suits.loop, range(told.suits_across))}</p>
      <p>{words.bottomSuits(told.suits.bottom, range(told.suits_bottom))}</p>
    </section>
  );
}

function Rule({ one }: { one: Finding }) {
  const wrong = one.holds === 'fail' || one.holds === 'prohibited outright';
  return (
    <li class={wrong ? 'wrong' : ''}>
      <b><span aria-hidden="true">{wrong ? words.signs.fail : one.holds === 'pass' ? words.signs.pass : words.signs.open}</span> {one.holds}</b>
      {one.holds === 'pass' && !one.verified && ` (${words.unconfirmed})`}: {one.words}
      {one.measured && <div>{one.measured.value} / {one.measured.limit}</div>}
      {one.holds !== 'pass' && [...one.said.slice(one.measured ? 1 : 0), ...one.confirm].map((line) => <div key={line}><small>{line}</small></div>)}
      <div><small>{one.profile} {one.rule}: {one.citations.join('; ')}</small></div>
    </li>
  );
}

export function Told({ told }: { told: DrawingTold }) {
  return (
    <div class="cards">
      <section class="card">
        <h2>{told.snow.log_m === null ? words.heightsLog : words.heights}</h2>
        <table>
          <thead><tr>{words.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {told.heights.map((one) => (
              <tr key={one.name}>
                <th scope="row">{one.words}</th>
                <td>{small(one.low_m, units.value)}</td>
                <td>{one.high_m === null ? '' : small(one.high_m, units.value)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <section class="card">
        <h2>{words.above}</h2>
        <table>
          <thead><tr>{words.aboveColumns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {told.above.map((one) => (
              <tr key={one.surface}>
                <th scope="row">{words.surfaces[one.surface] ?? one.surface}</th>
                <td>{range(one.bottom)}</td>
                <td>{range(one.top)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </section>
      <section class="card">
        <h2>{words.sources}</h2>
        <ul>{told.sources.map((one) => <li key={one.source}>{range(one.across)}, {range(one.bottom)}: {one.source} ({one.status})</li>)}</ul>
        {told.said.length > 0 && <h3>{words.said}</h3>}
        <ul>{told.said.map((one) => <li key={one}>{one}</li>)}</ul>
      </section>
    </div>
  );
}
