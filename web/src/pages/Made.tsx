/** A set made just now, where the phone stands. Whether it is lawful there is looked at on the machine. */
import { useState } from 'preact/hooks';
import { freeTags, nameFault } from '../logic/made';
import { Heading } from '../parts/Heading';
import { fix } from '../store/position';
import { events, now, page, record, round, said, told } from '../store/state';
import { clock, distance } from '../units';
import { words } from '../words';

const w = words.made;

export function Made() {
  const of = round.value!;
  const [own, setOwn] = useState({ set: '', tag: '', parcel: '', landmark: '', target: '', note: '' });
  const place = fix(now.value);
  const fault = nameFault(own.set, of, events.value);
  const change = (key: keyof typeof own) => (e: { currentTarget: { value: string } }) => setOwn({ ...own, [key]: e.currentTarget.value });
  const save = async () => {
    const here = fix(Date.now());
    if (here === null) return;
    const body = Object.fromEntries(Object.entries(own).filter(([, value]) => value.trim() !== '').map(([key, value]) => [key, value.trim()]));
    const one = told('set-made', body, undefined, here);
    await record([one]);
    said.value = words.next.saved(own.set, clock(one.happened_at, of.zone, now.value));
    page.value = { name: 'outbox' };
  };
  const choice = (key: 'tag' | 'parcel', label: string, values: readonly (readonly [string, string])[]) => (
    <label>
      {label}
      <select value={own[key]} onChange={change(key)}>
        <option value="">{w.notSaid}</option>
        {values.map(([value, name]) => <option key={value} value={value}>{name}</option>)}
      </select>
    </label>
  );
  return (
    <main>
      <Heading>{w.title}</Heading>
      <p class="mark">{w.law}</p>
      <p>{place === null ? w.noPlace : w.place(distance(place[2] ?? 0, of.units))}</p>
      <label>
        {w.name}
        <input value={own.set} autoCapitalize="characters" onInput={change('set')} />
      </label>
      {own.set !== '' && fault !== '' && <p class="mark">{w.faults[fault]}</p>}
      {choice('tag', w.tag, freeTags(of, events.value).map((tag) => [tag, tag] as const))}
      {choice('parcel', w.parcel, of.parcels.map((one) => [one.name, one.title || one.name] as const))}
      {(['landmark', 'target', 'note'] as const).map((key) => (
        <label key={key}>
          {w[key]}
          <input maxLength={400} value={own[key]} onInput={change(key)} />
        </label>
      ))}
      <button type="button" class="wide save" disabled={place === null || fault !== ''} onClick={() => void save()}>
        {w.save(own.set)}
      </button>
      <button type="button" class="wide quiet" onClick={() => (page.value = { name: 'round' })}>{words.back}</button>
    </main>
  );
}
