/** The view of phones: a pairing code, and who was let in. */
import { useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { clock } from '../../units';
import { ask, askFile, me, type Fault } from '../ask';
import { faultsOf, useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { Picture } from '../parts/Picture';
import { line, present } from '../state';
import { words } from './words';

interface Paired {
  via: string;
  person: string;
  label: string;
  paired_at: string;
  seen_at: string | null;
  revoked_at: string | null;
  desk: boolean;
}
interface Offer {
  url: string;
  until: string;
  code: Blob;
}

export function Phones() {
  const paired = useAsked<{ phones: Paired[] }>('phones');
  const [person, setPerson] = useState('');
  const [offer, setOffer] = useState<Offer | null>(null);
  const [faults, setFaults] = useState<Fault[]>([]);
  const zone = line.value?.zone ?? 'UTC';
  const when = (text: string | null): string => (text === null ? words.never : clock(text, zone, present()));
  const make = async (kind: 'field' | 'desk'): Promise<void> => {
    try {
      const told = await ask<Omit<Offer, 'code'>>('offer', { person, for: kind });
      setOffer({ ...told, code: await askFile('code', { text: told.url }) });
      setFaults([]);
    } catch (reason) {
      setFaults(faultsOf(reason));
    }
  };
  const revoke = (via: string): void => {
    ask('revoke', { via }).then(paired.again, (reason: unknown) => setFaults(faultsOf(reason)));
  };
  return (
    <>
      <Heading>{words.title}</Heading>
      <section class="card">
        <h2>{words.pair}</h2>
        <p>{words.hint}</p>
        <label>{words.person} <input value={person} onInput={(event) => setPerson(event.currentTarget.value)} placeholder={line.value?.handler ?? ''} /></label>
        <button type="button" onClick={() => void make('field')}>{words.field}</button>{' '}
        <button type="button" onClick={() => void make('desk')}>{words.desk}</button>
        {offer && (
          <div class="offer">
            <Picture content={offer.code} alt={words.open} />
            <p><code>{offer.url}</code></p>
            <p>{words.until(when(offer.until))}</p>
          </div>
        )}
        <Faults faults={[...faults, ...paired.faults]} />
      </section>
      {paired.data?.phones.length === 0 && <p>{words.none}</p>}
      {paired.data !== null && paired.data.phones.length > 0 && (
        <table>
          <thead><tr>{words.columns.map((one) => <th key={one} scope="col">{one}</th>)}</tr></thead>
          <tbody>
            {paired.data.phones.map((one) => (
              <tr key={one.via}>
                <th scope="row">{one.via} <small>{one.label}</small></th>
                <td>{one.person}</td>
                <td>{when(one.paired_at)}</td>
                <td>{when(one.seen_at)}</td>
                <td>
                  {one.revoked_at !== null ? words.revoked(when(one.revoked_at))
                    : one.via === me.value?.via ? words.ours
                    : <button type="button" onClick={() => revoke(one.via)}>{words.revoke(one.via)}</button>}
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      )}
    </>
  );
}
