/** One outing: when to leave and be back, the order, what does not fit, and the same planned otherwise. */
import { useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { clock, distance, stretch } from '../../units';
import { useAsked, useWork } from '../asked';
import { Faults } from '../parts/Faults';
import { WorkBar } from '../parts/WorkBar';
import { line, present, units } from '../state';
import { RoundTold, type Round } from '../tonight/RoundTold';
import { words } from './words';

const FIELDS = ['start', 'back', 'on', 'who', 'must', 'skip', 'seconds'] as const;

export function RoundView() {
  const own = useAsked<{ round: Round | null; why: string }>('tonight');
  const working = useWork<Round>('round');
  const [asked, setAsked] = useState({ start: '05:00', back: '08:00', on: '', who: '', must: '', skip: '', seconds: '10', everything: false });
  const names = (text: string): string[] => text.split(/[\s,]+/).filter(Boolean);
  const begin = (event: Event): void => {
    event.preventDefault();
    working.begin({
      start: asked.start, back: asked.back, who: asked.who, must: names(asked.must), skip: names(asked.skip), everything: asked.everything,
      seconds: Number(asked.seconds) || 10, ...(asked.on ? { on: asked.on } : {}),
    });
  };
  const round = working.answer ?? own.data?.round ?? null;
  return (
    <div class="tonight roundview">
      <Heading>{words.title}</Heading>
      <form class="card noprint" onSubmit={begin}>
        {FIELDS.map((key) => (
          <label key={key}>{words.ask[key]} <input size={key === 'must' || key === 'skip' ? 14 : 8} value={asked[key]} onInput={(event) => setAsked({ ...asked, [key]: event.currentTarget.value })} /></label>
        ))}
        <label><input type="checkbox" checked={asked.everything} onChange={(event) => setAsked({ ...asked, everything: event.currentTarget.checked })} /> {words.ask.everything}</label>
        <button type="submit" class="go">{words.ask.plan}</button> <small>{words.ask.hint}</small>
        <WorkBar working={working} />
      </form>
      <Faults faults={own.faults} />
      {!working.answer && round && <p>{words.own}.</p>}
      {round === null ? <p>{own.data?.why}</p> : (
        <>
          <section class="card"><h2>{words.times}</h2><RoundTold round={round} /></section>
          <Order round={round} />
          <p class="noprint"><a href="#/papers/route-card">{words.card}</a></p>
        </>
      )}
    </div>
  );
}

function Order({ round }: { round: Round }) {
  const at = (when: string | null): string => (when === null ? '' : clock(when, line.value?.zone ?? 'UTC', present()));
  return (
    <section class="card">
      <h2>{words.order}</h2>
      {round.stops.map((stop) => (
        <table key={stop.number} class="stop">
          <caption>
            <b>{words.stop(stop.parking, at(stop.arrive), at(stop.depart))}</b>{' '}
            {words.drive(distance(stop.drive_m, units.value), stop.drive_estimated)} {stop.note}
          </caption>
          <thead><tr>{words.columns.map((one, place) => (one ? <th key={place} scope="col">{one}</th> : <td key={place} />))}</tr></thead>
          <tbody>
            {stop.visits.map((one) => (
              <tr key={one.set}>
                <td>{one.order}</td>
                <th scope="row">{one.set}</th>
                <td>{one.landmark}</td>
                <td>{distance(one.walk_m, units.value)}, {stretch(one.walk_min)}</td>
                <td>{at(one.look)}{one.dark && <small> {words.dark}</small>}</td>
                <td>{at(one.due)}{!one.due_verified && <small> {words.notVerified}</small>}</td>
                <td>{one.slack_min === null ? '' : one.slack_min < 0 ? <b>{words.late} {stretch(-one.slack_min)}</b> : stretch(one.slack_min)}</td>
                <td>{[...one.bring, one.note].filter(Boolean).join(', ')}</td>
              </tr>
            ))}
          </tbody>
        </table>
      ))}
      {round.left_out.length > 0 && (
        <>
          <h3>{words.leftOut}</h3>
          <ul>{round.left_out.map((one) => <li key={one.set} class={one.must ? 'mark' : ''}><b>{one.set}</b> {at(one.due)} {one.why}</li>)}</ul>
        </>
      )}
      <h3>{words.cautions}</h3>
      <ul>{round.cautions.map((one) => <li key={one}>{one}</li>)}</ul>
    </section>
  );
}
