/** The set drawing: a loop to scale beside what the law and the animal say of it, while heights and snow change. */
import { useEffect, useMemo, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { small } from '../../units';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { Length } from '../parts/Length';
import { Picture } from '../parts/Picture';
import { go, refresh, units } from '../state';
import { useSettled } from '../settled';
import { Judged, Told, type DrawingTold } from './Told';
import './loop.css';
import { words } from './words';

interface Choices {
  sets: { set: string; target: string; parcel: string }[];
  animals: { animal: string; places: string[] }[];
  profiles: string[];
  in_use: string[];
}
type Measure = 'loop_m' | 'bottom_m' | 'base_m' | 'new_m' | 'sink_m' | 'log_m';
interface Asked extends Partial<Record<Measure, number>> {
  set_name?: string;
  animal?: string;
  where?: string;
  profile?: string;
}

/** How far each slider goes [m]. */
const MOST: Record<Measure, number> = { loop_m: 0.508, bottom_m: 1.27, base_m: 1.27, new_m: 0.762, sink_m: 0.762, log_m: 1.27 };

export function Drawing({ target }: { target: string }) {
  const [asked, setAsked] = useState<Asked>(target ? { set_name: target } : {});
  const [said, setSaid] = useState('');
  const [faults, setFaults] = useState<Fault[]>([]);
  const choices = useAsked<Choices>('loop-choices');
  const settled = useSettled(asked, 80);
  const drawing = useAsked<DrawingTold>('loop-drawing', { ...settled, units: units.value });
  useEffect(() => setAsked(target ? { set_name: target } : {}), [target]);
  const told = drawing.data;
  const change = (more: Asked): void => {
    setSaid('');
    setFaults([]);
    setAsked((before) => ({ ...before, ...more }));
  };
  const measure = (name: Measure) => (metres: number | null): void => {
    setSaid('');
    setAsked(({ [name]: _, ...rest }) => (metres === null ? rest : { ...rest, [name]: metres }));
  };
  const reset = (): void => setAsked(asked.set_name ? { set_name: asked.set_name } : {});
  const note = (): void => {
    const { profile: _, ...kept } = asked;
    ask('loop-note', kept).then(
      async () => {
        setFaults([]);
        reset();
        setSaid(words.noted);
        await refresh();
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  return (
    <div class="drawing" data-ready={told !== null && !drawing.busy && settled === asked ? 'yes' : undefined}>
      <Heading>{words.title}</Heading>
      <Faults faults={[...choices.faults, ...drawing.faults]} />
      <div class="three">
        <form class="card noprint" onSubmit={(event) => event.preventDefault()}>
          {choices.data && told && <Choose choices={choices.data} asked={asked} told={told} change={change} />}
          <h2>{words.measures}</h2>
          {told && <Measures asked={asked} told={told} measure={measure} />}
          <p>
            <button type="button" onClick={reset}>{asked.set_name ? words.reset.set : words.reset.free}</button>
          </p>
          {asked.set_name && told && <Noting told={told} note={note} />}
          <p role="status">{said}</p>
          <Faults faults={faults} />
        </form>
        <section class="card picture">{told && <Side told={told} />}</section>
        {told && <Judged told={told} />}
      </div>
      {told && <Told told={told} />}
    </div>
  );
}

function Side({ told }: { told: DrawingTold }) {
  const drawn = useMemo(() => new Blob([told.svg], { type: 'image/svg+xml' }), [told.svg]);
  const what = [told.set, told.animal, words.places[told.where], told.profile ?? words.none].filter(Boolean).join(', ');
  return (
    <>
      <Picture content={drawn} alt={words.alt(what)} name="ink" />
      {told.noted?.map((one) => <p key={one}><small>{one}</small></p>)}
    </>
  );
}

function Choose({ choices, asked, told, change }: { choices: Choices; asked: Asked; told: DrawingTold; change: (more: Asked) => void }) {
  const places = choices.animals.find((one) => one.animal === told.animal)?.places ?? [];
  const animal = (name: string): void => {
    const found = choices.animals.find((one) => one.animal === name)!.places;
    change({ animal: name, ...(found.includes(told.where) ? {} : { where: found[0]! }) });
  };
  return (
    <div class="choose">
      <label>
        {words.of.set}
        <select value={asked.set_name ?? ''} onChange={(event) => go('loop', event.currentTarget.value)}>
          <option value="">{words.free}</option>
          {choices.sets.map((one) => <option key={one.set} value={one.set}>{one.set} {one.target && `(${one.target})`}</option>)}
        </select>
      </label>
      <label>
        {words.of.animal}
        <select value={told.animal} onChange={(event) => animal(event.currentTarget.value)}>
          {choices.animals.map((one) => <option key={one.animal} value={one.animal}>{one.animal}</option>)}
        </select>
      </label>
      <label>
        {words.of.where}
        <select value={told.where} onChange={(event) => change({ where: event.currentTarget.value })}>
          {places.map((one) => <option key={one} value={one}>{words.places[one] ?? one}</option>)}
        </select>
      </label>
      <label>
        {words.of.profile}
        <select value={told.profile ?? ''} onChange={(event) => change({ profile: event.currentTarget.value })}>
          {told.profile === null && <option value="">{words.none}</option>}
          {choices.profiles.map((one) => <option key={one} value={one}>{one} {choices.in_use.includes(one) && `(${words.inUse})`}</option>)}
        </select>
      </label>
    </div>
  );
}

function Measures({ asked, told, measure }: { asked: Asked; told: DrawingTold; measure: (name: Measure) => (metres: number | null) => void }) {
  const held: Record<Measure, number | null> = {
    loop_m: told.loop_m, bottom_m: told.bottom_m, base_m: told.snow.base_m, new_m: told.snow.new_m, sink_m: null, log_m: null,
  };
  const names: Measure[] = ['bottom_m', 'loop_m', 'base_m', 'new_m', 'sink_m', ...(told.where === 'log-crossing' ? ['log_m' as const] : [])];
  const deep = told.snow.base_m + told.snow.new_m;
  return (
    <>
      {names.map((name) => {
        const label = name === 'bottom_m' && told.snow.log_m === null ? words.fromLog : words.fields[name]!;
        const most = name === 'sink_m' ? Math.max(deep, 0.0254) : Math.max(MOST[name], held[name] ?? 0);
        return <Length key={name} label={label} slider={words.slider(label)} value={asked[name] ?? held[name]} most={most} set={measure(name)} empty={name === 'sink_m' || name === 'log_m'} />;
      })}
    </>
  );
}

function Noting({ told, note }: { told: DrawingTold; note: () => void }) {
  if (told.as_on_record) return <p>{words.onRecord}</p>;
  if (told.where === 'log-crossing') return <p>{words.noLog}</p>;
  return (
    <>
      <p>{words.changed}</p>
      <button type="button" class="go" onClick={note}>{words.note}: {told.set}, {small(told.bottom_m, units.value)}, {small(told.loop_m, units.value)}</button>
    </>
  );
}
