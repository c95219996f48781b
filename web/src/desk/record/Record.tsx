/** The view of the record: every event in order, and forms to note more. */
import { Heading } from '../../parts/Heading';
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { words as frame } from '../words';
import { kindName, type KindTold } from './form';
import { NoteForm } from './NoteForm';
import './record.css';
import { words } from './words';

/** `new:KIND` or `new:KIND:SUBJECT` shows a form. */
export function Record({ target }: { target: string }) {
  const kinds = useAsked<{ kinds: KindTold[] }>('kinds');
  const wanted = /^new:([^:]*):?(.*)$/.exec(target);
  return (
    <>
      <Heading>{wanted ? words.form.title(kindName(wanted[1]!)) : words.title}</Heading>
      <Faults faults={kinds.faults} />
      {kinds.data === null ? <p>{frame.loading}</p>
        : wanted ? <NoteForm kinds={kinds.data.kinds} kind={wanted[1]!} subject={wanted[2]!} />
        : null}
    </>
  );
}
