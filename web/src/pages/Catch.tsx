/** An animal held: what it is, what the profile says must be done first, whom to call; then the record of it. */
import { useState } from 'preact/hooks';
import { DONE, FATES, LEFT, SURE, caught } from '../logic/check';
import { Attach } from '../parts/Attach';
import { Choices } from '../parts/Choices';
import { Heading } from '../parts/Heading';
import { filesBody, recordWithFiles, type Kept } from '../store/files';
import { fix } from '../store/position';
import { chosen, now, page, round, said, sets, told } from '../store/state';
import { clock } from '../units';
import { words } from '../words';
import type { Duty, Parcel, Round, Standing, Told } from '../wire/round';

const w = words.catching;
const OTHER = 'other animal';

export function Catch({ set }: { set: string }) {
  const of = round.value!;
  const one = sets.value.get(set)!;
  const mine = of.duties.filter((each) => each.profile === one.profile);
  const known = [...new Set(mine.map((each) => each.species))].filter((name) => name !== OTHER);
  const [species, setSpecies] = useState('');
  const [standing, setStanding] = useState<Standing | ''>('');
  const [alive, setAlive] = useState<boolean | null>(null);
  const [fate, setFate] = useState('');
  const [extra, setExtra] = useState({ how_sure: 'seen', held_by: '', condition: '', note: '', done: 'remade', left_as: 'working' });
  const [files, setFiles] = useState<Kept[]>([]);
  const [foundAt] = useState(new Date());
  const guidance = of.guidance?.find((each) => each.profile === one.profile);
  const asked = mine.find((d) => d.species === (known.includes(species) ? species : OTHER) && d.alive === (alive ?? true));

  const choose = (name: string) => {
    setSpecies(name);
    const whose = mine.find((d) => d.species === name)?.standing;
    if (whose) setStanding(whose);
  };
  const save = async () => {
    const { done, left_as, how_sure, held_by, condition, note } = extra;
    const animal = species.trim();
    const what_happened = caught(standing, fate);
    const check = told('check', { set, found_as: 'holding', what_happened, done, left_as, species: animal, how_sure }, foundAt, fix(Date.now()));
    const body: Record<string, unknown> = { set, species: animal, standing, fate, check: check.id, ...filesBody(files) };
    if (alive !== null) body.alive = alive;
    if (held_by) body.held_by = held_by;
    if (condition.trim()) body.condition = condition.trim();
    if (note.trim()) body.note = note.trim();
    await recordWithFiles([check, told('catch', body, foundAt)], files);
    said.value = words.next.saved(set, clock(foundAt, of.zone, now.value));
    chosen.value = null;
    page.value = { name: 'next' };
  };
  const can = species.trim() !== '' && standing !== '' && fate !== '';
  return (
    <main>
      <Heading>{w.title(set)}</Heading>
      <ul class="cautions">{w.cautions.map((caution) => <li key={caution}>{caution}</li>)}</ul>
      <h2>{w.species}</h2>
      <Choices label={w.species} values={known} names={{}} chosen={species} onChoose={choose} />
      <label>
        {w.other}
        <input value={known.includes(species) ? '' : species} onInput={(e) => { setSpecies(e.currentTarget.value); setStanding(''); }} />
      </label>
      <Ask title={w.standingTitle} values={['target', 'nontarget', 'domestic']} names={w.standing} chosen={standing} onChoose={(v) => setStanding(v as Standing)} />
      <Ask title={w.alive} values={['yes', 'no']} names={{ yes: words.yes, no: words.no }} chosen={alive === null ? '' : alive ? 'yes' : 'no'} onChoose={(v) => setAlive(v === 'yes')} />
      {species !== '' && <Duties duties={asked?.duties ?? []} of={of} foundAt={foundAt} />}
      {alive !== false && <Guided title={w.steps} none={w.noSteps} told={guidance?.steps} />}
      <Guided title={w.whom} none={w.noWhom} told={guidance?.call} />
      <Call parcel={of.parcels.find((each) => each.name === one.parcel)} />
      <Ask title={w.fate} values={FATES} names={w.fates} chosen={fate} onChoose={setFate} />
      <Ask title={w.held} values={w.heldBy} names={{}} chosen={extra.held_by} onChoose={(held_by) => setExtra({ ...extra, held_by })} />
      <Ask title={w.sure} values={SURE} names={words.sure} chosen={extra.how_sure} onChoose={(how_sure) => setExtra({ ...extra, how_sure })} />
      <label>
        {w.condition}
        <textarea maxLength={2000} value={extra.condition} onInput={(e) => setExtra({ ...extra, condition: e.currentTarget.value })} />
      </label>
      <Ask title={w.done} values={DONE} names={words.done} chosen={extra.done} onChoose={(done) => setExtra({ ...extra, done })} />
      <Ask title={w.left} values={LEFT} names={words.left} chosen={extra.left_as} onChoose={(left_as) => setExtra({ ...extra, left_as })} />
      <label>
        {words.check.note}
        <textarea maxLength={2000} value={extra.note} onInput={(e) => setExtra({ ...extra, note: e.currentTarget.value })} />
      </label>
      <Attach files={files} onChange={setFiles} />
      {!can && <p>{w.needs}</p>}
      <button type="button" class="wide save" disabled={!can} onClick={() => void save()}>
        {w.save(set)}
      </button>
      <button type="button" class="wide quiet" onClick={() => (page.value = { name: 'next' })}>
        {words.back}
      </button>
    </main>
  );
}

function Ask({ title, ...rest }: { title: string; values: readonly string[]; names: Record<string, string>; chosen: string; onChoose: (value: string) => void }) {
  return (
    <>
      <h2>{title}</h2>
      <Choices label={title} {...rest} />
    </>
  );
}

function Duties({ duties, of, foundAt }: { duties: Duty[]; of: Round; foundAt: Date }) {
  if (duties.length === 0) return <p class="mark">{w.noDuties}</p>;
  const by = (duty: Duty) => {
    if (duty.due_min !== null) return w.by(clock(foundAt.getTime() + duty.due_min * 60_000, of.zone, now.value));
    return duty.due_at !== null ? w.by(clock(duty.due_at, of.zone, now.value)) : '';
  };
  return (
    <section aria-label={w.duties}>
      <h2>{w.duties}</h2>
      <ol class="duties">
        {duties.map((duty) => (
          <li key={duty.words}>
            <b>{duty.words}</b> {by(duty)} {!duty.verified && <em>{words.clock['not-verified']}</em>}
            {duty.said.length > 0 && <small>{duty.said.join('; ')}</small>}
            <small>{duty.citation}</small>
          </li>
        ))}
      </ol>
    </section>
  );
}

/** The agency's own words, in its order; where none are held, that is said. */
function Guided({ title, none, told }: { title: string; none: string; told: Told | undefined }) {
  return (
    <section aria-label={title}>
      <h2>{title}</h2>
      {!told?.lines.length ? (
        <p class="mark">{none}</p>
      ) : (
        <>
          <ol class="duties">{told.lines.map((line) => <li key={line}><Dial text={line} /></li>)}</ol>
          <small>
            {!told.verified && <em>{words.clock['not-verified']}: {w.askFirst} </em>}
            {told.citation} {told.note}
          </small>
        </>
      )}
    </section>
  );
}

/** A telephone number at the end of a line, such as "Office: 555-0100", can be tapped. */
function Dial({ text }: { text: string }) {
  const number = /: (\+?[0-9][0-9 ()-]{4,}[0-9])$/.exec(text)?.[1];
  return number ? <a href={`tel:${number.replace(/[^+0-9]/g, '')}`}>{text}</a> : <>{text}</>;
}

function Call({ parcel }: { parcel: Parcel | undefined }) {
  if (!parcel?.owner) return null;
  return (
    <p>
      {w.owner}: {parcel.phone ? <a href={`tel:${parcel.phone}`}>{w.call(parcel.owner, parcel.phone)}</a> : w.call(parcel.owner, w.noPhone)}
    </p>
  );
}
