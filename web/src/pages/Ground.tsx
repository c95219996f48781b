/** The small map; its library is loaded only here. The list beside it says the same in words. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { metres } from '../logic/way';
import { Heading } from '../parts/Heading';
import { here } from '../store/position';
import { next, round, stands } from '../store/state';
import { distance, rise } from '../units';
import { reliefOf } from '../wire/round';
import { words } from '../words';
import type { Ground as Drawn } from '../map/ground';

const w = words.ground;
const sentences = (said: string[]): string => said.map((one) => `${one[0]?.toUpperCase() ?? ''}${one.slice(1)}.`).join(' ');

export function Ground() {
  const of = round.value!;
  const relief = reliefOf(of);
  const box = useRef<HTMLDivElement>(null);
  const map = useRef<Drawn | null>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => {
    let gone = false;
    import('../map/ground')
      .then(({ drawGround }) => {
        if (!gone && box.current) map.current = drawGround(box.current, of, stands.value, next.value?.name ?? '');
        if (map.current && here.value) map.current.showHere(here.value);
      })
      .catch(() => setFailed(true));
    return () => {
      gone = true;
      map.current?.remove();
      map.current = null;
    };
  }, [of, stands.value]);
  useEffect(() => {
    if (here.value) map.current?.showHere(here.value);
  }, [here.value]);
  const from = here.value?.place ?? next.value?.place ?? of.sets[0]?.place;
  const near = from ? [...of.sets].sort((a, b) => metres(from, a.place) - metres(from, b.place)).slice(0, 12) : [];
  return (
    <main>
      <Heading>{w.title}</Heading>
      {failed && <p class="mark">{w.failed}</p>}
      <section aria-label={w.label}>
        <div ref={box} class="map" />
      </section>
      <p>{w.legend}</p>
      {relief ? (
        <small>
          {w.heights(rise(relief.step_m, of.units))} {sentences(relief.said)}
        </small>
      ) : (
        of.why_no_relief && <small>{w.noShade(of.why_no_relief)}</small>
      )}
      <h2>{w.places}</h2>
      <ul>
        {near.map((one) => (
          <li key={one.name}>
            <b>{one.name}</b> {from && distance(metres(from, one.place), of.units)} {one.landmark}
          </li>
        ))}
      </ul>
    </main>
  );
}
