/** The first view: what matters before bed. */
import { Heading } from '../../parts/Heading';
import { words } from '../words';

export function Tonight() {
  return <Heading>{words.views.tonight!}</Heading>;
}
