/** Starts the page: reads back what was kept, shows it, then calls the machine. */
import { render } from 'preact';
import { useEffect, useLayoutEffect } from 'preact/hooks';
import { Catch } from './pages/Catch';
import { Check } from './pages/Check';
import { Fine } from './pages/Fine';
import { Ground } from './pages/Ground';
import { Made } from './pages/Made';
import { Next } from './pages/Next';
import { Outbox } from './pages/Outbox';
import { Pair, opening } from './pages/Pair';
import { RoundPage } from './pages/RoundPage';
import { Unlock } from './pages/Unlock';
import { countFiles } from './store/files';
import { watch } from './store/position';
import { askLock, locked, now, page, refresh, round, theme, trouble, unsent, wake, type Page } from './store/state';
import { openSealed, pair, recall, sync } from './store/sync';
import { startWorker } from './store/update';
import { words } from './words';
import './style.css';

const VIEWS = ['next', 'round', 'ground', 'outbox'] as const;

function View({ at }: { at: Page }) {
  if (at.name === 'outbox') return <Outbox />;
  if (round.value === null) return <Pair />;
  switch (at.name) {
    case 'check': return <Check key={at.set} set={at.set} found={at.found} />;
    case 'catch': return <Catch key={at.set} set={at.set} />;
    case 'fine': return <Fine key={at.parking} parking={at.parking} />;
    case 'round': return <RoundPage />;
    case 'made': return <Made />;
    case 'ground': return <Ground />;
    default: return <Next />;
  }
}

function App() {
  useEffect(() => {
    document.documentElement.dataset.theme = theme.value;
  }, [theme.value]);
  // Before it is painted: a tap must not land on what was there a moment ago.
  useLayoutEffect(() => window.scrollTo(0, 0), [page.value]);
  if (locked.value) return <Unlock onOpen={open} />;
  return (
    <>
      <header>
        <span>{round.value?.line ?? words.app}</span>
        <button type="button" class={unsent.value ? 'chip waiting' : 'chip'} onClick={() => (page.value = { name: 'outbox' })}>
          {words.unsent(unsent.value)}
        </button>
      </header>
      {round.value?.invented && <p class="invented">{words.invented}</p>}
      {trouble.value && <p class="alarm" role="alert">{words.trouble[trouble.value]}</p>}
      <View at={page.value} />
      <nav aria-label={words.nav.name}>
        {VIEWS.map((name) => (
          <button type="button" key={name} aria-current={page.value.name === name ? 'page' : undefined} onClick={() => (page.value = { name })}>
            {words.nav[name]}
          </button>
        ))}
      </nav>
    </>
  );
}

async function openFragment(): Promise<void> {
  const [what, value] = location.hash.slice(1).split('=');
  if ((what !== 'pair' && what !== 'open') || !value) return;
  history.replaceState(null, '', location.pathname + location.search);
  opening.value = what === 'pair' ? words.pair.pairing : words.pair.opening;
  try {
    const good = what === 'pair' ? await pair(value).then(() => true) : await openSealed(value);
    opening.value = good ? '' : words.pair.notOpen;
  } catch (reason) {
    opening.value = what === 'pair' ? `${words.pair.failed}: ${(reason as Error).message}` : words.pair.notOpen;
  }
}

/** Once the passphrase is said. */
async function open(): Promise<void> {
  await wake();
  locked.value = false;
  await go();
}

async function begin(): Promise<void> {
  await askLock();
  if (!locked.value) await wake();
  render(<App />, document.getElementById('page')!);
  document.documentElement.dataset.shown = 'yes';
  watch();
  setInterval(() => (now.value = Date.now()), 15_000);
  void startWorker();
  if (!locked.value) await go();
}

/** Calls the machine, and goes on calling. */
async function go(): Promise<void> {
  await Promise.all([recall(), countFiles(), openFragment()]);
  await sync();
  globalThis.addEventListener('online', () => void sync());
  globalThis.addEventListener('hashchange', () => void openFragment().then(sync));
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void refresh().then(sync);
  });
}

void begin();
