/** Hooks: a document that is asked for again whenever the record grows, and a piece of long work. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { ask, Refused, type Fault } from './ask';
import { stamp } from './state';

export interface Held<T> {
  data: T | null;
  faults: Fault[];
  busy: boolean;
  again: () => void;
}

/** Holds the answer to something asked; asks anew when `body` or the record changes. */
export function useAsked<T>(name: string, body: object = {}): Held<T> {
  const [held, setHeld] = useState<{ data: T | null; faults: Fault[]; busy: boolean }>({ data: null, faults: [], busy: true });
  const [turn, setTurn] = useState(0);
  const key = JSON.stringify(body);
  const seen = stamp.value;
  useEffect(() => {
    let wanted = true;
    setHeld((before) => ({ ...before, busy: true }));
    ask<T>(name, JSON.parse(key) as object).then(
      (data) => wanted && setHeld({ data, faults: [], busy: false }),
      (reason: unknown) => wanted && setHeld((before) => ({ data: before.data, faults: faultsOf(reason), busy: false })),
    );
    return () => {
      wanted = false;
    };
  }, [name, key, seen, turn]);
  return { ...held, again: () => setTurn((n) => n + 1) };
}

/** What went wrong, as faults to show. */
export const faultsOf = (reason: unknown): Fault[] =>
  reason instanceof Refused ? reason.faults : [{ code: '', what: String(reason), where: '', do: '' }];

export interface WorkTold<T> {
  id: string;
  job: string;
  state: 'waiting' | 'running' | 'done' | 'stopped' | 'failed';
  told: string;
  stopping: boolean;
  bad_news: boolean;
  faults: Fault[];
  asked: Record<string, unknown>;
  answer: T | null;
  warnings: string[];
}
export interface Working<T> {
  work: WorkTold<T> | null;
  /** The last answer there was; it stands until the next one is there. */
  answer: T | null;
  faults: Fault[];
  begin: (asked: object) => void;
  stop: () => void;
}

/** The last work of each job and its last answer, so that a view left and come back to finds them again. */
const last = new Map<string, string>();
const answers = new Map<string, unknown>();

/** Holds one piece of long work: begins it, follows it, stops it. It goes on while other views are looked at. */
export function useWork<T>(job: string): Working<T> {
  const [work, setWork] = useState<WorkTold<T> | null>(null);
  const [faults, setFaults] = useState<Fault[]>([]);
  const [id, setId] = useState(last.get(job) ?? '');
  const alive = useRef(true);
  useEffect(() => {
    alive.current = true;
    return () => {
      alive.current = false;
    };
  }, []);
  useEffect(() => {
    if (!id) return;
    let timer = 0;
    let wanted = true;
    const look = async (): Promise<void> => {
      try {
        const told = await ask<WorkTold<T>>('work', { id });
        if (!wanted) return;
        if (told.answer !== null) answers.set(job, told.answer);
        setWork(told);
        setFaults(told.faults);
        if (told.state === 'waiting' || told.state === 'running') timer = window.setTimeout(() => void look(), 500);
      } catch (reason) {
        if (!wanted) return;
        if (reason instanceof Refused && reason.status === 0) timer = window.setTimeout(() => void look(), 2000);
        else setFaults(faultsOf(reason));
      }
    };
    void look();
    return () => {
      wanted = false;
      clearTimeout(timer);
    };
  }, [id]);
  const begin = (asked: object): void => {
    setFaults([]);
    ask<WorkTold<T>>('work-begin', { job, asked }).then(
      (told) => {
        last.set(job, told.id);
        if (alive.current) setId(told.id);
      },
      (reason: unknown) => setFaults(faultsOf(reason)),
    );
  };
  const stop = (): void => {
    if (id) ask('work-stop', { id }).catch((reason: unknown) => setFaults(faultsOf(reason)));
  };
  return { work, answer: (answers.get(job) as T | undefined) ?? null, faults, begin, stop };
}
