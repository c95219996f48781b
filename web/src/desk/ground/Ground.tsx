/** The view of the ground: a map, and beside it the same in tables and forms. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { rise } from '../../units';
import { useAsked, useWork } from '../asked';
import { Faults } from '../parts/Faults';
import { units } from '../state';
import { Add, pickOf, shapeOf, type Draft } from './Add';
import { LayersPanel, useLayers } from './Layers';
import { GroundMap } from './map';
import { Measure } from './Measure';
import { ParcelsTable, PlacesTable, SetsTable } from './Tables';
import { read, written, type GroundTold, type Layer, type OnFoot, type Pick, type Place, type ReliefTold } from './told';
import { FootPanel, ScoutPanel } from './Travel';
import './ground.css';
import { words } from './words';

type Tab = keyof typeof words.tabs;
const CLEAN: Draft = { kind: 'set-made', values: {}, places: '' };

export function Ground({ target }: { target: string }) {
  const told = useAsked<GroundTold>('ground');
  const relief = useAsked<ReliefTold>('ground-relief');
  const walks = useAsked<{ walks: Place[][]; why: string }>('ground-walks');
  const scouted = useAsked<{ layers: { name: string; file: string; layer: Layer }[] }>('ground-scouted');
  const foot = useWork<OnFoot>('on-foot');
  const [tab, setTab] = useState<Tab>('sets');
  const [chosen, setChosen] = useState(target);
  const [draft, setDraft] = useState<Draft>(CLEAN);
  const [way, setWay] = useState('');
  const layers = useLayers();
  const pick: Pick = tab === 'add' ? pickOf(draft) : tab === 'measure' ? 'many' : 'none';
  const add = (place: Place): void => {
    const text = written(place);
    if (tab === 'measure') setWay((before) => joined(before, text));
    else setDraft((before) => ({ ...before, places: pickOf(before) === 'many' ? joined(before.places, text) : text }));
  };
  const choose = (set: string): void => {
    setChosen(set);
    setTab('sets');
  };
  const { box, map } = useMap({ choose, pick: add });
  useEffect(() => {
    if (target && told.data?.sets.some((one) => one.set === target)) choose(target);
  }, [target, told.data === null]);
  useEffect(() => void (told.data && map.current?.show(told.data)), [told.data]);
  useEffect(() => void map.current?.showRelief(relief.data?.relief ?? null), [relief.data]);
  useEffect(() => void map.current?.showWalks(walks.data?.walks ?? []), [walks.data]);
  useEffect(() => void map.current?.showScouted((scouted.data?.layers ?? []).map((one) => one.layer)), [scouted.data]);
  useEffect(() => void map.current?.showFoot(foot.answer?.bands ?? null), [foot.answer]);
  useEffect(() => layers.each((name, on) => map.current?.setLayer(name, on)), [layers.on]);
  useEffect(() => map.current?.choose(chosen, true), [chosen, told.data === null]);
  useEffect(() => map.current?.pick(pick), [pick]);
  useEffect(() => {
    const [places, shape] = tab === 'measure' ? [way, 'line' as const] : tab === 'add' ? [draft.places, shapeOf(draft)] : ['', 'point' as const];
    map.current?.showDraft(read(places), shape);
  }, [tab, way, draft]);
  useEffect(() => {
    const timer = setInterval(() => map.current?.drawSets(), 60_000);
    return () => clearInterval(timer);
  }, []);
  const move = (event: string): void => {
    setDraft({ kind: 'move', values: { what: event }, places: '' });
    setTab('add');
  };
  const look = (place: Place): void => map.current?.look(place);
  return (
    <div class="ground" data-ready={told.data && relief.data ? 'yes' : undefined}>
      <Heading>{words.title}</Heading>
      <Faults faults={[...told.faults, ...relief.faults, ...scouted.faults]} />
      {told.data && isBare(told.data) && <p class="mark">{words.nothing} <a href="#/import">{words.bring}</a></p>}
      {told.data?.heights === false && <p class="mark">{words.heightsNone} {words.heightsHow} <a href="#/import">{words.bring}</a></p>}
      {told.data?.heights && relief.data?.relief === null && <p class="mark">{relief.data.why}</p>}
      <div class="halves">
        <section aria-label={words.map}>
          <div ref={box} class="map" role="group" aria-label={words.map} />
          <p class="under">
            <button type="button" onClick={() => map.current?.fit()}>{words.all}</button>{' '}
            <small>{relief.data?.relief ? `${words.shade(rise(relief.data.relief.step_m, units.value))} ${said(relief.data.relief.said)}` : ''} {words.noBase}</small>
          </p>
        </section>
        <section class="side">
          <div class="tabs" role="group" aria-label={words.title}>
            {Object.entries(words.tabs).map(([name, shown]) => (
              <button key={name} type="button" aria-pressed={tab === name} onClick={() => setTab(name as Tab)}>{shown}</button>
            ))}
          </div>
          {told.data && <Beside {...{ tab, told: told.data, chosen, choose, draft, setDraft, way, setWay, layers, move, look }} foot={foot} scouted={scouted.data?.layers ?? []} again={() => { told.again(); scouted.again(); }} />}
        </section>
      </div>
    </div>
  );
}

interface BesideOf {
  tab: Tab;
  told: GroundTold;
  chosen: string;
  choose: (set: string) => void;
  draft: Draft;
  setDraft: (draft: Draft) => void;
  way: string;
  setWay: (way: string) => void;
  layers: ReturnType<typeof useLayers>;
  move: (event: string) => void;
  look: (place: Place) => void;
  foot: ReturnType<typeof useWork<OnFoot>>;
  scouted: { name: string; file: string; layer: Layer }[];
  again: () => void;
}

function Beside({ tab, told, chosen, choose, draft, setDraft, way, setWay, layers, move, look, foot, scouted, again }: BesideOf) {
  switch (tab) {
    case 'sets': return <SetsTable told={told} chosen={chosen} choose={choose} move={move} />;
    case 'parcels': return <ParcelsTable told={told} look={look} />;
    case 'places': return <PlacesTable told={told} move={move} look={look} again={again} />;
    case 'add': return <Add told={told} draft={draft} set={setDraft} done={again} />;
    case 'measure': return <Measure way={way} set={setWay} />;
    case 'foot': return <FootPanel told={told} foot={foot} />;
    case 'scout': return <ScoutPanel told={told} scouted={scouted} again={again} />;
    case 'layers': return <LayersPanel layers={layers} />;
  }
}

const isBare = (told: GroundTold): boolean => told.sets.length + told.parcels.length + told.parkings.length + told.landmarks.length === 0;
const joined = (before: string, more: string): string => (before.trim() ? `${before.trimEnd()}\n${more}` : more);
const said = (sentences: string[]): string => sentences.map((one) => `${one[0]?.toUpperCase() ?? ''}${one.slice(1)}.`).join(' ');

/** Holds the map as long as the view is there; it always calls the newest of what hears it. */
function useMap(heard: { choose: (set: string) => void; pick: (place: Place) => void }) {
  const box = useRef<HTMLDivElement>(null);
  const map = useRef<GroundMap | null>(null);
  const now = useRef(heard);
  now.current = heard;
  useEffect(() => {
    map.current ??= new GroundMap(box.current!, { choose: (set) => now.current.choose(set), pick: (place) => now.current.pick(place) });
    return () => {
      map.current?.remove();
      map.current = null;
    };
  }, []);
  return { box, map };
}
