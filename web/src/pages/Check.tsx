/** A check: found as, what happened, done, left as. Working is saved with the second tap. */
import { useState } from 'preact/hooks';
import { ASKS_SPECIES, DONE, FOUND, HAPPENED, LEFT, SURE, asOf, complete, likely, start, type Answers } from '../logic/check';
import { Attach } from '../parts/Attach';
import { Choices } from '../parts/Choices';
import { Heading } from '../parts/Heading';
import { filesBody, recordWithFiles, type Kept } from '../store/files';
import { fix } from '../store/position';
import { chosen, now, page, round, said, told } from '../store/state';
import { clock } from '../units';
import { words } from '../words';

const w = words.check;
type Row = keyof Answers;
const ROWS: { row: Row; title: string; all: readonly string[]; names: Record<string, string> }[] = [
  { row: 'found_as', title: w.found, all: FOUND, names: words.foundAs },
  { row: 'what_happened', title: w.happened, all: HAPPENED, names: words.happened },
  { row: 'done', title: w.done, all: DONE, names: words.done },
  { row: 'left_as', title: w.left, all: LEFT, names: words.left },
];

export function Check({ set, found }: { set: string; found: string }) {
  const [answers, setAnswers] = useState<Answers>(start(found));
  const [open, setOpen] = useState<Row | ''>(firstOpen(start(found)));
  const [every, setEvery] = useState(false);
  const [extra, setExtra] = useState({ species: '', how_sure: '', note: '', late: '', distance: false });
  const [files, setFiles] = useState<Kept[]>([]);
  const of = round.value!;
  const late = extra.late === '' ? undefined : asOf(extra.late, new Date(now.value), of.zone);

  const choose = (row: Row, value: string) => {
    if (row === 'found_as' && value === 'holding') return void (page.value = { name: 'catch', set });
    const changed = row === 'found_as' ? start(value) : { ...answers, [row]: value };
    setAnswers(changed);
    setEvery(false);
    setOpen(firstOpen(changed));
  };
  const save = async () => {
    const body: Record<string, unknown> = { set, ...answers, ...filesBody(files) };
    for (const key of ['species', 'how_sure', 'note'] as const) if (extra[key].trim()) body[key] = extra[key].trim();
    if (extra.distance) body.from_distance = true;
    const one = told('check', body, late ?? undefined, late === undefined ? fix(Date.now()) : null);
    await recordWithFiles([one], files);
    said.value = words.next.saved(set, clock(one.happened_at, of.zone, now.value));
    chosen.value = null;
    page.value = { name: 'next' };
  };
  const can = complete(answers) && late !== null;
  return (
    <main>
      <Heading>{w.title(set)}</Heading>
      {ROWS.map(({ row, title, all, names }) => (
        <section key={row} class="row" aria-label={title}>
          <button type="button" class="answer" aria-expanded={open === row} onClick={() => setOpen(open === row ? '' : row)}>
            <span>{title}</span> <b>{answers[row] ? names[answers[row]] : w.unset}</b>
          </button>
          {open === row && (
            <>
              <Choices
                label={title}
                values={row === 'what_happened' && !every && likely(answers.found_as).length ? likely(answers.found_as) : all}
                names={names}
                chosen={answers[row]}
                onChoose={(value) => choose(row, value)}
              />
              {row === 'what_happened' && !every && likely(answers.found_as).length > 0 && (
                <button type="button" class="wide quiet" onClick={() => setEvery(true)}>
                  {w.all}
                </button>
              )}
            </>
          )}
        </section>
      ))}
      {!can && <p>{late === null ? w.lateBad : w.needs}</p>}
      <button type="button" class="wide save" disabled={!can} onClick={() => void save()}>
        {w.save(set)}
      </button>
      <details open={ASKS_SPECIES.includes(answers.what_happened)}>
        <summary>{w.extras}</summary>
        <label>
          {w.species}
          <input value={extra.species} onInput={(e) => setExtra({ ...extra, species: e.currentTarget.value })} />
        </label>
        <p class="label">{w.sure}</p>
        <Choices label={w.sure} values={SURE} names={words.sure} chosen={extra.how_sure} onChoose={(how_sure) => setExtra({ ...extra, how_sure })} />
        <label>
          {w.note}
          <textarea maxLength={2000} value={extra.note} onInput={(e) => setExtra({ ...extra, note: e.currentTarget.value })} />
        </label>
        <label>
          {w.late}
          <input inputMode="numeric" placeholder="05:40" value={extra.late} onInput={(e) => setExtra({ ...extra, late: e.currentTarget.value.trim() })} />
        </label>
        <p>{late ? w.lateSays(clock(late, of.zone, now.value)) : w.lateHint}</p>
        <label class="tick">
          <input type="checkbox" checked={extra.distance} onChange={(e) => setExtra({ ...extra, distance: e.currentTarget.checked })} />
          {w.distance}
        </label>
        <Attach files={files} onChange={setFiles} />
      </details>
      <button type="button" class="wide quiet" onClick={() => (page.value = { name: 'next' })}>
        {words.back}
      </button>
    </main>
  );
}

function firstOpen(answers: Answers): Row | '' {
  return (['found_as', 'what_happened', 'done', 'left_as'] as const).find((row) => !answers[row]) ?? '';
}
