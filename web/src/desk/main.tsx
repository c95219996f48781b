/** Starts the desk page: lets the browser in, asks which line this is, and shows the view that is wanted. */
import { render, type ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import { me, pair, reached } from './ask';
import { Faults } from './parts/Faults';
import { faultsOf } from './asked';
import { at, line, refresh, theme, units } from './state';
import { VIEWS } from './views';
import { words } from './words';
import './desk.css';

const loaded = new Map<string, ComponentType<{ target: string }>>();

function View({ name, target }: { name: string; target: string }) {
  const [, setTurn] = useState(0);
  const [faults, setFaults] = useState<ReturnType<typeof faultsOf>>([]);
  const Found = loaded.get(name);
  useEffect(() => {
    if (loaded.has(name)) return;
    const view = VIEWS.find((one) => one.name === name) ?? VIEWS[0]!;
    view.load().then(
      (found) => {
        loaded.set(name, found);
        setTurn((n) => n + 1);
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  }, [name]);
  if (Found) return <Found target={target} key={name} />;
  return faults.length ? <Faults faults={faults} /> : <p>{words.loading}</p>;
}

function Choice({ name, value, choices, set }: { name: string; value: string; choices: [string, string][]; set: (value: string) => void }) {
  return (
    <label class="choice">
      {name}{' '}
      <select value={value} onChange={(event) => set(event.currentTarget.value)}>
        {choices.map(([one, shown]) => (
          <option key={one} value={one}>{shown}</option>
        ))}
      </select>
    </label>
  );
}

function Frame() {
  const told = line.value;
  const begun = told?.begun !== false;
  const shown = begun ? VIEWS.find((one) => one.name === at.value.view)?.name ?? 'tonight' : 'start';
  useEffect(() => {
    document.title = `${words.views[shown] ?? words.desk} · ${told?.name ?? words.app}`;
  }, [shown, told?.name]);
  return (
    <>
      <a class="skip" href="#content" onClick={(event) => { event.preventDefault(); document.getElementById('content')?.focus(); }}>{words.skip}</a>
      <header>
        <b>{told?.name ?? words.app}</b>
        {told?.invented && <span class="invented">{words.invented}</span>}
        <span class="fill" />
        <Choice name={words.units} value={units.value} choices={[['us', words.us], ['metric', words.metric]]} set={(value) => (units.value = value as 'us' | 'metric')} />
        <Choice
          name={words.theme}
          value={theme.value}
          choices={Object.entries(words.themes)}
          set={(value) => {
            theme.value = value;
            localStorage.setItem('tendline-desk-theme', value);
          }}
        />
      </header>
      {begun && (
        <nav aria-label={words.views.name}>
          {VIEWS.filter((one) => !one.hidden).map((one) => (
            <a key={one.name} href={`#/${one.name}`} aria-current={shown === one.name ? 'page' : undefined}>
              {words.views[one.name]}
            </a>
          ))}
        </nav>
      )}
      <main id="content" tabIndex={-1}>
        {!reached.value && <p class="alarm" role="alert">{words.away}</p>}
        {told === null ? <p>{words.loading}</p> : <View name={shown} target={shown === at.value.view ? at.value.target : ''} />}
      </main>
    </>
  );
}

function Desk({ trouble }: { trouble: string }) {
  useEffect(() => {
    document.documentElement.dataset.theme = theme.value;
  }, [theme.value]);
  if (me.value !== null) return <Frame />;
  return (
    <main id="content" class="stranger">
      <h1>{words.pair.title}</h1>
      {trouble && <p class="alarm" role="alert">{words.pair.failed}: {trouble}</p>}
      <p>{words.pair.how}</p>
    </main>
  );
}

async function begin(): Promise<void> {
  let trouble = '';
  const word = /^#pair=(.+)$/.exec(location.hash)?.[1];
  if (word) {
    history.replaceState(null, '', location.pathname);
    await pair(word).catch((reason: unknown) => (trouble = (reason as Error).message));
  }
  render(<Desk trouble={trouble} />, document.getElementById('desk')!);
  const look = (): void => void (me.value !== null && refresh().catch(() => undefined));
  look();
  setInterval(look, 5_000);
  document.addEventListener('visibilitychange', look);
}

void begin();
