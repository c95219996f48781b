/** The record page by page, newest first, and what is looked for in it. */
import { useEffect, useState } from 'preact/hooks';
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { Entry, type EntryTold } from './Entry';
import { kindName, type KindTold } from './form';
import { words } from './words';

interface Page {
  events: EntryTold[];
  start: number;
  total: number;
  of: number;
  kinds: string[];
  people: string[];
}
const ALL = { about: '', kind: '', by: '', first: '', last: '', words: '' };

export function List({ kinds, about, identity }: { kinds: KindTold[]; about: string; identity: string }) {
  const [typed, setTyped] = useState({ ...ALL, about });
  const [sought, setSought] = useState(typed);
  const [start, setStart] = useState(0);
  useEffect(() => setTyped({ ...ALL, about }), [about]);
  useEffect(() => {
    const timer = window.setTimeout(() => {
      setSought(typed);
      setStart(0);
    }, 250);
    return () => clearTimeout(timer);
  }, [JSON.stringify(typed)]);
  const asked = identity ? { identity } : { ...Object.fromEntries(Object.entries(sought).filter(([, value]) => value)), start };
  const held = useAsked<Page>('record', asked);
  const page = held.data;
  const set = (key: keyof typeof ALL) => (event: { currentTarget: { value: string } }) => setTyped({ ...typed, [key]: event.currentTarget.value });
  const step = page ? Math.max(page.events.length, 200) : 200;
  return (
    <>
      <p class="noprint"><a href="#/record/new:check">{words.note}</a>{identity && <> · <a href="#/record">{words.back}</a></>}</p>
      {!identity && (
        <search class="filter noprint">
          <label>{words.list.about} <input size={8} value={typed.about} onInput={set('about')} /></label>
          <label>{words.list.kind} <select value={typed.kind} onChange={set('kind')}><option value="">{words.list.any}</option>{(page?.kinds ?? []).map((one) => <option key={one} value={one}>{kindName(one)}</option>)}</select></label>
          <label>{words.list.by} <select value={typed.by} onChange={set('by')}><option value="">{words.list.any}</option>{(page?.people ?? []).map((one) => <option key={one} value={one}>{one}</option>)}</select></label>
          <label>{words.list.first} <input type="date" value={typed.first} onInput={set('first')} /></label>
          <label>{words.list.last} <input type="date" value={typed.last} onInput={set('last')} /></label>
          <label>{words.list.words} <input type="search" value={typed.words} onInput={set('words')} /></label>
        </search>
      )}
      <Faults faults={held.faults} />
      {page && (
        <>
          {!identity && <p role="status">{page.total === 0 ? words.list.nothing : words.list.shown(page.start + 1, page.start + page.events.length, page.total, page.of)}</p>}
          <ol class="entries" data-start={page.start}>{page.events.map((one) => <Entry key={one.id} told={one} kind={kinds.find((kind) => kind.kind === one.kind)} />)}</ol>
          {!identity && page.total > page.events.length && (
            <p class="noprint">
              <button type="button" disabled={start === 0} onClick={() => setStart(Math.max(0, start - step))}>{words.list.newer}</button>{' '}
              <button type="button" disabled={start + page.events.length >= page.total} onClick={() => setStart(start + page.events.length)}>{words.list.older}</button>
            </p>
          )}
        </>
      )}
    </>
  );
}
