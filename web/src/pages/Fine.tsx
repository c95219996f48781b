/** All fine at one parking: each set is tapped when it was looked at, and gets that time. */
import { useState } from 'preact/hooks';
import { start } from '../logic/check';
import { Heading } from '../parts/Heading';
import { left, now, page, record, round, said, told } from '../store/state';
import { clock } from '../units';
import { words } from '../words';

const w = words.fine;

export function Fine({ parking }: { parking: string }) {
  const of = round.value!;
  const stop = of.plan?.stops.find((one) => one.parking === parking);
  const [names] = useState(stop?.visits.map((visit) => visit.set).filter((name) => left.value.includes(name)) ?? []);
  const [looked, setLooked] = useState<Record<string, Date>>({});
  const seen = names.filter((name) => looked[name] !== undefined);
  const tap = (name: string) => {
    const { [name]: before, ...others } = looked;
    setLooked(before === undefined ? { ...looked, [name]: new Date() } : others);
  };
  const save = async () => {
    await record(seen.map((name) => told('check', { set: name, ...start('working') }, looked[name])));
    said.value = words.next.saved(seen.join(', '), clock(Date.now(), of.zone, now.value));
    page.value = { name: 'next' };
  };
  return (
    <main>
      <Heading>{w.title(parking)}</Heading>
      <p>{w.says}</p>
      <div class="choices one">
        {names.map((name) => (
          <button type="button" key={name} aria-pressed={looked[name] !== undefined} onClick={() => tap(name)}>
            <b>{name}</b> {looked[name] === undefined ? w.notYet : w.looked(clock(looked[name], of.zone, now.value))}
          </button>
        ))}
      </div>
      <button type="button" class="wide save" disabled={seen.length === 0} onClick={() => void save()}>
        {w.save(seen.length)}
      </button>
      <button type="button" class="wide quiet" onClick={() => (page.value = { name: 'next' })}>
        {words.back}
      </button>
    </main>
  );
}
