/** A round in brief: when to leave, when back with no catch, one, two; what does not fit; what to carry. */
import { clock, distance, stretch } from '../../units';
import { line, present, units } from '../state';
import './tonight.css';
import { words } from './words';

export interface Visit {
  order: number;
  set: string;
  landmark: string;
  walk_m: number;
  walk_min: number;
  look: string;
  due: string | null;
  due_verified: boolean;
  slack_min: number | null;
  dark: boolean | null;
  bring: string[];
  note: string;
}
export interface Round {
  leave: string;
  back: string;
  latest_return: string;
  fits: boolean;
  stops: { number: number; parking: string; note: string; arrive: string; depart: string; drive_m: number; drive_estimated: boolean; back_m: number; visits: Visit[] }[];
  home: { drive_m: number };
  left_out: { set: string; must: boolean; due: string | null; why: string }[];
  reliefs: { what: string }[];
  expected: { chance_of_a_catch: number };
  bad_mornings: { catches: number; end: string; late: string[]; over_min: number }[];
  carry: string[];
  cautions: string[];
}

export function RoundTold({ round }: { round: Round }) {
  const zone = line.value?.zone ?? 'UTC';
  const at = (text: string): string => clock(text, zone, present());
  const visits = round.stops.flatMap((one) => one.visits);
  const walked = visits.reduce((sum, one) => sum + one.walk_m, 0) + round.stops.reduce((sum, one) => sum + one.back_m, 0);
  const driven = round.stops.reduce((sum, one) => sum + one.drive_m, round.home.drive_m);
  return (
    <>
      <dl class="times">
        <div><dt>{words.round.leave}</dt><dd>{at(round.leave)}</dd></div>
        <div><dt>{words.round.back} <small>{words.round.ordinary}</small></dt><dd>{at(round.back)}</dd></div>
        {round.bad_mornings.map((one) => (
          <div key={one.catches} class={one.late.length || one.over_min > 0 ? 'over' : ''}>
            <dt>{words.round.back} <small>{words.round.catches(one.catches)}</small></dt>
            <dd>
              {at(one.end)}
              {one.over_min > 0 && <small> {words.round.over(stretch(Math.ceil(one.over_min)))}</small>}
              {one.late.length > 0 && <small> {words.round.late(one.late.length)}</small>}
            </dd>
          </div>
        ))}
      </dl>
      <p>{words.round.by(at(round.latest_return))}; {words.round.chance(round.expected.chance_of_a_catch)}.</p>
      <p>{words.round.sets(visits.length, distance(walked, units.value), distance(driven, units.value))}.</p>
      {round.fits ? <p>{words.round.fits}</p> : (
        <div class="mark">
          <p><b>{words.round.fitsNot}</b> {round.left_out.filter((one) => one.must).map((one) => one.set).join(', ')}</p>
          <ul>{round.reliefs.map((one) => <li key={one.what}>{one.what}</li>)}</ul>
        </div>
      )}
      <p>{round.stops.map((one) => `${one.parking} (${one.visits.length})`).join(' → ')}</p>
      <h3>{words.round.carry}</h3>
      <ul class="carry">{round.carry.map((one) => <li key={one}>{one}</li>)}</ul>
    </>
  );
}
