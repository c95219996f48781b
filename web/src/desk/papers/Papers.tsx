/** The view of papers: choose one, look at its pages, print or save it; and files for others. */
import { useEffect, useState } from 'preact/hooks';
import { Heading } from '../../parts/Heading';
import { ask, askFile, type Fault } from '../ask';
import { faultsOf, useAsked, useWork } from '../asked';
import { Faults } from '../parts/Faults';
import { WorkBar } from '../parts/WorkBar';
import { moment } from '../record/moment';
import { go } from '../state';
import { FileLinks } from './FileLinks';
import { Option, type OptionTold } from './Option';
import { Pages } from './Pages';
import { SendFile } from './SendFile';
import './papers.css';
import { words } from './words';

interface Kind {
  paper: string;
  words: string;
  options: OptionTold[];
}
interface Made {
  paper: string;
  file: string;
  bad_news: boolean;
  pages: string[];
}

export function Papers({ target }: { target: string }) {
  const kinds = useAsked<{ papers: Kind[] }>('paper-kinds');
  const working = useWork<Made>('paper');
  const [names, setNames] = useState<Record<string, string[]>>({});
  const [values, setValues] = useState<Record<string, string>>({});
  const chosen = kinds.data?.papers.find((one) => one.paper === target) ?? kinds.data?.papers[0];
  useEffect(() => {
    ask<{ names: Record<string, string[]> }>('names').then((found) => setNames(found.names), () => undefined);
  }, []);
  useEffect(() => setValues({}), [chosen?.paper]);
  const { work } = working;
  const made = work?.answer?.paper === chosen?.paper ? work?.answer ?? null : null;
  const busy = work?.state === 'running' || work?.state === 'waiting';
  const make = (event: Event): void => {
    event.preventDefault();
    const options = Object.fromEntries(Object.entries(values).filter(([, value]) => value.trim()));
    working.begin({ paper: chosen!.paper, options });
  };
  return (
    <div class="papers">
      <div class="noprint"><Heading>{words.title}</Heading></div>
      <Faults faults={kinds.faults} />
      <div class="columns">
        <div class="noprint">
          {chosen && (
            <form class="card" onSubmit={make}>
              <label>{words.choose}{' '}
                <select value={chosen.paper} onChange={(event) => go('papers', event.currentTarget.value)}>
                  {kinds.data!.papers.map((one) => <option key={one.paper} value={one.paper}>{words.names[one.paper] ?? one.paper}</option>)}
                </select>
              </label>
              <p>{chosen.words}</p>
              {chosen.options.map((one) => <Option key={`${chosen.paper}-${one.name}`} told={one} names={names} value={values[one.name] ?? ''} set={(value) => setValues((before) => ({ ...before, [one.name]: value }))} />)}
              <button class="go" type="submit" disabled={busy}>{words.make}</button>
              <WorkBar working={working} />
            </form>
          )}
          <SendFile names={names} />
          <Kept made={made?.file ?? ''} />
        </div>
        {made && (
          <section aria-label={words.names[made.paper]}>
            <div class="noprint">
              {made.bad_news && <p class="alarm">{words.badNews}</p>}
              {work!.warnings.map((one) => <p key={one} class="mark">{one}</p>)}
              <p>
                {words.kept(made.file)}{' '}
                <button type="button" class="go" onClick={() => window.print()}>{words.print}</button>{' '}
                <FileLinks key={`${work!.id}-${made.file}`} get={() => askFile('paper', { name: made.file })} name={made.file} open={words.open} save={words.save} />
              </p>
            </div>
            <Pages key={work!.id} pages={made.pages} name={words.names[made.paper] ?? made.paper} />
          </section>
        )}
      </div>
    </div>
  );
}

/** What is kept in papers/, newest first. */
function Kept({ made }: { made: string }) {
  const kept = useAsked<{ files: { name: string; made_at: string }[] }>('papers');
  const [faults, setFaults] = useState<Fault[]>([]);
  useEffect(() => kept.again(), [made]);
  const get = (name: string) => async (): Promise<Blob | null> => {
    try {
      return await askFile('paper', { name });
    } catch (reason) {
      setFaults(faultsOf(reason));
      return null;
    }
  };
  return (
    <details class="card">
      <summary>{words.older}</summary>
      <Faults faults={[...faults, ...kept.faults]} />
      {kept.data?.files.length === 0 ? <p>{words.none}</p> : (
        <ul>
          {(kept.data?.files ?? []).map((one) => (
            <li key={one.name}>{one.name} <small>{moment(one.made_at)}</small> <FileLinks get={get(one.name)} name={one.name} open={words.open} save={words.save} /></li>
          ))}
        </ul>
      )}
    </details>
  );
}
