/** What a new line still needs, each leading to where it is done. */
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { VIEWS } from '../views';
import { words } from './words';

interface Step {
  step: string;
  done: boolean;
  said: string;
}

const has = (view: string): boolean => VIEWS.some((one) => one.name === view);

/** Where a step is done; null where it is not done on this page. */
function where(step: string): string | null {
  if (step === 'home') return '#/settings';
  if (step === 'confirm') return '#/settings/profiles';
  if (step === 'heights') return has('import') ? '#/import' : null;
  return `#/record/new:${step}`;
}

export function Steps() {
  const told = useAsked<{ steps: Step[]; done: boolean }>('first-steps');
  return (
    <section class="card steps">
      <p>{told.data?.done ? words.allDone : words.nextIntro}</p>
      <ol>
        {(told.data?.steps ?? []).map((one) => {
          const [name, hint] = words.steps[one.step] ?? [one.step, ''];
          const link = where(one.step);
          return (
            <li key={one.step} class={one.done ? 'done' : 'todo'}>
              <span class="sign" aria-hidden="true">{one.done ? '✓' : '○'}</span>
              {link ? <a href={link}><b>{name}</b></a> : <b>{name}</b>} <small>{one.done ? words.done : words.todo}</small>
              {one.said && <span> · {one.said}</span>}
              <br />
              {hint} {!link && words.heightsHow}
            </li>
          );
        })}
      </ol>
      <p><a href="#/tonight">{words.tonight}</a> · <a href="#/papers/route-card">{words.card}</a></p>
      <Faults faults={told.faults} />
    </section>
  );
}
