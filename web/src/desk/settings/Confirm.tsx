/** Going through a rule profile, value by value, each with its source: agree, don't know, or how it really is. */
import { useState } from 'preact/hooks';
import { ask, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { refresh } from '../state';
import { words } from './words';

interface Told {
  profile: string;
  title: string;
  until: string;
  values: { rule: string; words: string; sources: string[] }[];
  word: { on: string; until: string; note: string; doubts: Record<string, string>; holds: boolean } | null;
}
const AGREE = 'agree';
const UNSURE = "don't know";

export function Confirm({ profile }: { profile: string }) {
  const held = useAsked<Told>('profile-values', { profile });
  const [open, setOpen] = useState(false);
  const [said, setSaid] = useState('');
  const told = held.data;
  if (told === null) return <Faults faults={held.faults} />;
  const { word } = told;
  return (
    <div>
      <h3>{told.title}</h3>
      <p>
        {word === null ? words.notYet : word.holds ? words.holds(word.on, word.until) : words.over(word.until)}{' '}
        {word !== null && Object.keys(word.doubts).length > 0 && words.doubts(Object.keys(word.doubts).length)}{' '}
        <b role="status">{said}</b>
      </p>
      <button type="button" aria-expanded={open} onClick={() => setOpen(!open)}>{words.begin(profile)}</button>
      {open && (
        <Sheet
          told={told}
          done={(text) => {
            setOpen(false);
            setSaid(text);
            held.again();
          }}
        />
      )}
    </div>
  );
}

function Sheet({ told, done }: { told: Told; done: (said: string) => void }) {
  const [answers, setAnswers] = useState<Record<string, string>>({});
  const [note, setNote] = useState('');
  const [faults, setFaults] = useState<Fault[]>([]);
  const left = told.values.filter((one) => !(answers[one.rule] ?? '').trim());
  const set = (rule: string, answer: string): void => setAnswers((before) => ({ ...before, [rule]: answer }));
  const keep = (event: Event): void => {
    event.preventDefault();
    ask<{ agreed: number; until: string }>('confirm', { profile: told.profile, answers, note }).then(
      (found) => {
        done(words.kept(found.agreed, told.values.length, found.until));
        void refresh();
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  return (
    <form class="sheet" onSubmit={keep}>
      {told.values.map((one) => <Value key={one.rule} told={one} answer={answers[one.rule]} set={(answer) => set(one.rule, answer)} />)}
      <label class="wide">{words.note}<input value={note} onInput={(event) => setNote(event.currentTarget.value)} /></label>
      <Faults faults={faults} />
      <p>
        <button type="button" disabled={left.length === 0} onClick={() => left.forEach((one) => set(one.rule, UNSURE))}>{words.rest}</button>{' '}
        <button class="go" type="submit" disabled={left.length > 0}>{words.keep}</button> {left.length > 0 && words.left(left.length)}
      </p>
    </form>
  );
}

function Value({ told, answer, set }: { told: Told['values'][number]; answer: string | undefined; set: (answer: string) => void }) {
  const otherwise = answer !== undefined && answer !== AGREE && answer !== UNSURE;
  const choice = (value: string, shown: string, checked: boolean) => (
    <label><input type="radio" name={told.rule} checked={checked} onChange={() => set(value)} /> {shown}</label>
  );
  return (
    <fieldset>
      <legend>{told.words}</legend>
      <p><small>{words.sources}: {told.sources.join('; ') || words.none}</small></p>
      {choice(AGREE, words.agree, answer === AGREE)}
      {choice(UNSURE, words.unsure, answer === UNSURE)}
      {choice('', words.other, otherwise)}
      {otherwise && <label>{words.really} <input required value={answer} onInput={(event) => set(event.currentTarget.value)} /></label>}
    </fieldset>
  );
}
