/** Putting something down: a set, a parcel, a house; or correcting a place that was written down wrong. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { uuid7 } from '../../wire/event';
import { ask, type Fault } from '../ask';
import { faultsOf } from '../asked';
import { refresh, units } from '../state';
import { Form, fieldOf, type FieldOf, type Values } from './Form';
import { Places } from './Places';
import { read, written, type GroundTold, type Pick } from './told';
import { words } from './words';

const w = words.add;
export interface Draft {
  kind: string;
  values: Values;
  /** As written, one place in each line. */
  places: string;
}
export const shapeOf = (draft: Draft): 'point' | 'line' | 'area' =>
  draft.kind === 'parcel' ? 'area' : draft.kind === 'feature' ? ((draft.values.shape as 'point') ?? 'point') : 'point';
export const pickOf = (draft: Draft): Pick => (draft.kind === 'permission' ? 'none' : shapeOf(draft) === 'point' ? 'one' : 'many');

const free = (...names: string[]): FieldOf[] => names.map((name) => ({ name }));
const said = (name: string): FieldOf => ({ name, choices: [['', w.unsaid], ['yes', w.yes], ['no', w.no]] });

/** The fields of each kind, in the order they are asked. */
function fieldsOf(kind: string, told: GroundTold): FieldOf[] {
  const parcel: FieldOf = { name: 'parcel', choices: [['', w.unsaid], ...told.parcels.map((one): [string, string] => [one.parcel, one.title || one.parcel])] };
  const needed = (name: string): FieldOf => ({ name, needed: true });
  switch (kind) {
    case 'set-made':
      return [needed('set'), ...free('tag'), parcel, ...free('landmark', 'target', 'loop_m', 'bottom_m'), { name: 'surface', choices: Object.entries(words.surfaces) }, ...free('happened', 'note')];
    case 'parcel':
      return [needed('name'), ...free('title', 'owner', 'phone', 'county', 'note')];
    case 'permission':
      return [parcel, ...free('first', 'last', 'given_by'), said('written'), said('names_cables'), ...free('note')];
    case 'parking':
      return [needed('name'), ...free('parcels', 'note')];
    case 'landmark':
      return [needed('name'), ...free('note')];
    case 'sign-seen':
      return [needed('species'), { name: 'how_sure', choices: Object.entries(words.sure) }, ...free('heading', 'happened', 'note')];
    case 'feature':
      return [
        { name: 'feature', choices: told.classes.map((one): [string, string] => [one, words.classes(one)]) }, { name: 'shape', choices: Object.entries(words.shapes) }, ...free('name', units.value === 'us' ? 'width_ft' : 'width_m'),
        ...['consent', 'notice', 'written', 'own', 'occupied', 'exposed', 'closed_road'].map(said), ...free('note'),
      ];
    default:
      return [{ name: 'what', choices: [['', ''], ...movable(told)] }, needed('why')];
  }
}

/** Everything whose place can be corrected: by its event. */
const movable = (told: GroundTold): [string, string][] =>
  [
    ...told.sets.map((one): [string | null, string] => [one.event, one.set]), ...told.parkings.map((one): [string | null, string] => [one.event, `${words.parking} ${one.parking}`]),
    ...told.landmarks.map((one): [string | null, string] => [one.event, one.landmark]),
  ].filter((one): one is [string, string] => one[0] !== null);

const SUBJECT: Record<string, string> = { 'set-made': 'set', parcel: 'name', permission: 'parcel', parking: 'name', landmark: 'name', 'sign-seen': 'species' };

/** Sends what was written; sent again with the same id, nothing is kept twice. */
async function send(id: string, { kind, values, places }: Draft): Promise<string> {
  const { happened = '', what = '', why = '', feature = 'dwelling', shape = 'point', name = '', ...rest } = values;
  if (kind === 'move') {
    await ask('correct', { id, of: what, place: places.trim(), why });
    return w.kinds.move!;
  }
  if (kind === 'feature') {
    const given = Object.fromEntries(Object.entries(rest).filter(([, value]) => value));
    await ask('ground-draw', { feature, shape, places: read(places).map(written), name, given });
    return `${words.classes(feature)} ${name}`;
  }
  const subject = SUBJECT[kind]!;
  const given = Object.fromEntries(Object.entries({ ...rest, name }).filter(([key, value]) => value && key !== subject));
  if (kind === 'parcel') given.outline = read(places).map(written).join(' ');
  const place = kind === 'parcel' || kind === 'permission' || !places.trim() ? {} : { place: places.trim() };
  await ask('note', { id, kind, subject: values[subject] ?? '', given, ...place, ...(happened.trim() ? { happened } : {}) });
  return `${w.kinds[kind]!} ${values[subject] ?? ''}`;
}

export function Add({ told, draft, set, done }: { told: GroundTold; draft: Draft; set: (draft: Draft) => void; done: () => void }) {
  const [faults, setFaults] = useState<Fault[]>([]);
  const [kept, setKept] = useState('');
  const id = useRef(uuid7(Date.now()));
  useEffect(() => setFaults([]), [draft.kind]);
  const fields = fieldsOf(draft.kind, told);
  const names = fields.map((one) => one.name);
  const save = (event: Event): void => {
    event.preventDefault();
    setKept('');
    send(id.current, draft).then(
      async (what) => {
        id.current = uuid7(Date.now());
        setFaults([]);
        setKept(w.saved(what));
        set({ ...draft, values: {}, places: '' });
        await refresh();
        done();
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  const places = faults.filter((one) => fieldOf(one, names) === 'places');
  return (
    <form onSubmit={save} noValidate>
      <div class="field">
        <label for="add-what">{w.what}</label>
        <select id="add-what" value={draft.kind} onChange={(event) => set({ kind: event.currentTarget.value, values: {}, places: '' })}>
          {Object.entries(w.kinds).map(([kind, shown]) => <option key={kind} value={kind}>{shown}</option>)}
        </select>
      </div>
      {draft.kind === 'move' && <p><small>{w.moveHint}</small></p>}
      {draft.kind !== 'permission' && <Places many={shapeOf(draft) !== 'point'} value={draft.places} set={(value) => set({ ...draft, places: value })} faults={places} />}
      <Form fields={fields} values={draft.values} set={(values) => set({ ...draft, values })} faults={faults.filter((one) => !places.includes(one))} />
      {(draft.kind === 'feature' || draft.kind === 'permission') && <p><small>{w.lawHint}</small></p>}
      <button type="submit" class="go">{w.save}</button>
      <p role="status">{kept}</p>
    </form>
  );
}
