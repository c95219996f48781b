/** One event: as it stands, what was changed of it by whom, what that replaced, and a way to undo by correction. */
import { useEffect, useState } from 'preact/hooks';
import { askFile } from '../ask';
import { Picture } from '../parts/Picture';
import { units } from '../state';
import { Correct, Void } from './Correct';
import { fieldName, kindName, told as worded, type KindTold } from './form';
import { moment } from './moment';
import { words } from './words';

export interface ChangeTold {
  id: string;
  kind: string;
  recorded_at: string;
  by: string;
  via: string;
  body: Record<string, unknown>;
  standing: boolean;
  was: Record<string, unknown>;
}
export interface EntryTold {
  id: string;
  kind: string;
  happened_at: string;
  recorded_at: string;
  late: boolean;
  by: string;
  via: string;
  place: [number, number] | null;
  accuracy_m: number | null;
  body: Record<string, unknown>;
  photos: string[];
  void: boolean;
  now: { happened_at: string; place: [number, number] | null; body: Record<string, unknown> } | null;
  changes: ChangeTold[];
}

/** Told in the heading already. */
const SUBJECTS = new Set(['set', 'name', 'photos', 'source']);
const placeWords = (place: [number, number], accuracy: number | null): string => `${place[1].toFixed(5)}, ${place[0].toFixed(5)}${accuracy === null ? '' : ` ± ${worded('_m', accuracy, units.value)}`}`;

export function Entry({ told, kind }: { told: EntryTold; kind: KindTold | undefined }) {
  const [open, setOpen] = useState('');
  const now = told.now ?? told;
  const subject = String(now.body[kind?.subject ?? ''] ?? '');
  return (
    <li class={told.void ? 'entry void' : 'entry'} id={told.id}>
      <h2>
        <a href={`#/record/id:${told.id}`}>{kindName(told.kind)}</a> {told.body.set ? <a href={`#/record/${encodeURIComponent(String(told.body.set))}`}>{subject}</a> : subject}{' '}
        <time dateTime={now.happened_at}>{moment(now.happened_at)}</time>
        {told.void && <b class="tag"> {words.entry.void}</b>}
        {told.late && <span class="tag"> {words.entry.late}</span>}
      </h2>
      <p class="acts noprint">
        {!told.void && <button type="button" aria-expanded={open === 'correct'} onClick={() => setOpen(open === 'correct' ? '' : 'correct')}>{words.entry.correct}</button>}{' '}
        {!told.void && <button type="button" aria-expanded={open === 'void'} onClick={() => setOpen(open === 'void' ? '' : 'void')}>{words.entry.never}</button>}
      </p>
      <Values body={told.now === null ? told.body : now.body} subject={kind?.subject ?? ''} struck={told.void} />
      <p>
        <small>
          {words.entry.by(told.by, told.via)} · {words.entry.recorded(moment(told.recorded_at))}
          {now.place && <> · {words.entry.place(placeWords(now.place, told.accuracy_m))}</>}
        </small>
      </p>
      {told.photos.length > 0 && <p class="photos">{told.photos.map((one) => <Photo key={one} photo={one} about={subject} />)}</p>}
      {told.changes.length > 0 && (
        <ul class="changes">
          {told.changes.map((one) => <Change key={one.id} told={one} undo={() => setOpen(open === one.id ? '' : one.id)}>{open === one.id && <Void of={one.id} title={words.entry.undo} done={() => setOpen('')} />}</Change>)}
        </ul>
      )}
      {open === 'correct' && kind && <Correct told={told} kind={kind} done={() => setOpen('')} />}
      {open === 'void' && <Void of={told.id} title={words.entry.never} done={() => setOpen('')} />}
    </li>
  );
}

function Values({ body, subject, struck = false }: { body: Record<string, unknown>; subject: string; struck?: boolean }) {
  const shown = Object.entries(body).filter(([key]) => !SUBJECTS.has(key) && key !== subject);
  if (shown.length === 0) return null;
  const list = shown.map(([key, value]) => <span key={key} class="value">{fieldName(key)} <b>{worded(key, value, units.value)}</b></span>);
  return <p class="values">{struck ? <s>{list}</s> : list}</p>;
}

function Change({ told, undo, children }: { told: ChangeTold; undo: () => void; children: preact.ComponentChildren }) {
  const fields = { ...(told.body.fields as Record<string, unknown> | undefined), ...pick(told.body, 'happened_at'), ...pick(told.body, 'place') };
  const shown = (key: string, value: unknown): string =>
    key === 'happened_at' && typeof value === 'string' ? moment(value)
      : key === 'place' && value ? (Array.isArray(value) ? (value as number[]) : String(value).split(',').slice(0, 2).map(Number)).map((one) => one.toFixed(5)).reverse().join(', ')
      : worded(key, value, units.value);
  return (
    <li class={told.standing ? '' : 'undone'}>
      <b>{told.kind === 'void' ? words.entry.made : words.entry.corrected}</b>{' '}
      {Object.entries(fields).map(([key, value]) => (
        <span key={key} class="value">{fieldName(key)} <s>{shown(key, told.was[key])}</s> → <b>{shown(key, value)}</b></span>
      ))}
      {' '}{words.entry.why(String(told.body.why ?? ''))} <small>{words.entry.by(told.by, told.via)} · {moment(told.recorded_at)}</small>{' '}
      {told.standing ? <button class="noprint" type="button" onClick={undo}>{words.entry.undo}</button> : <b class="tag">{words.entry.undone}</b>}
      {children}
    </li>
  );
}

const pick = (body: Record<string, unknown>, key: string): Record<string, unknown> => (key in body ? { [key]: body[key] } : {});

function Photo({ photo, about }: { photo: string; about: string }) {
  const [content, setContent] = useState<Blob | null>(null);
  const [large, setLarge] = useState(false);
  useEffect(() => {
    let wanted = true;
    askFile('picture', { key: photo, longest: large ? 1200 : 320 }).then((found) => wanted && setContent(found), () => undefined);
    return () => {
      wanted = false;
    };
  }, [photo, large]);
  return (
    <button type="button" class={large ? 'photo large' : 'photo'} aria-pressed={large} onClick={() => setLarge(!large)}>
      {content ? <Picture content={content} alt={words.entry.photo(about)} /> : words.entry.photo(about)}
    </button>
  );
}
