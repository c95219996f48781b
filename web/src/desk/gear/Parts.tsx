/** Parts for the season and for today, what to order, the load; and the cable cut from its rolls, drawn. */
import { useState } from 'preact/hooks';
import { weight } from '../../units';
import { useAsked } from '../asked';
import { Faults } from '../parts/Faults';
import { useSettled } from '../settled';
import { units } from '../state';
import { Cuts } from './Cuts';
import type { PartsTold } from './told';
import { words } from './words';

const FIELDS = ['devices', 'nights', 'risk', 'cut', 'rolls', 'pieces', 'kerf'] as const;
type Name = (typeof FIELDS)[number];
const TEXT: Name[] = ['rolls', 'pieces', 'kerf'];

/** What was typed, as the machine takes it; nothing for what was left empty. */
function asked(typed: Record<Name, string>): object {
  const list = (text: string): string[] => text.split(',').map((one) => one.trim()).filter(Boolean);
  const number = (name: Name, per = 1): object => (typed[name].trim() ? { [name]: Number(typed[name]) / per } : {});
  return {
    ...number('devices'), ...number('nights'), ...number('risk', 100), ...number('cut'),
    ...(list(typed.rolls).length ? { rolls: list(typed.rolls) } : {}),
    ...(list(typed.pieces).length ? { pieces: list(typed.pieces) } : {}),
    ...(typed.kerf.trim() ? { kerf: typed.kerf } : {}),
  };
}

export function Parts({ file, text }: { file: string; text: string }) {
  const [typed, setTyped] = useState(Object.fromEntries(FIELDS.map((one) => [one, ''])) as Record<Name, string>);
  const settled = useSettled(typed, 400);
  const held = useAsked<PartsTold>('gear-parts', { file, text, units: units.value, ...asked(settled) });
  const told = held.faults.length === 0 ? held.data : null;
  const type = (name: Name, value: string): void => setTyped((before) => ({ ...before, [name]: value }));
  const hint = (name: Name): string => (name === 'risk' ? '5' : name === 'devices' && told ? String(told.devices) : '');
  return (
    <section class="card parts" aria-labelledby="parts" data-parts={!held.busy ? 'yes' : undefined}>
      <h2 id="parts">{words.parts.title}</h2>
      <form class="fields noprint" onSubmit={(event) => event.preventDefault()}>
        {FIELDS.map((name) => (
          <label key={name}>
            {words.parts[name]}
            {TEXT.includes(name)
              ? <input value={typed[name]} onInput={(event) => type(name, event.currentTarget.value)} />
              : <input type="number" min="0" step="any" value={typed[name]} placeholder={hint(name)} onInput={(event) => type(name, event.currentTarget.value)} />}
          </label>
        ))}
        <p><small>{words.parts.hint}</small></p>
      </form>
      <Faults faults={held.faults} />
      {told && <PartsShown told={told} />}
    </section>
  );
}

function PartsShown({ told }: { told: PartsTold }) {
  const wanted = told.parts.filter((one) => one.order);
  const unknown = told.parts.filter((one) => one.order === null).map((one) => one.part);
  const { ledger } = told;
  return (
    <>
      <p class={wanted.length ? 'mark' : ''}>
        <b>{wanted.length ? `${words.parts.order}: ${wanted.map((one) => `${one.order} ${one.part}`).join(', ')}.` : words.parts.nothing}</b>
        {unknown.length > 0 && ` ${words.parts.unknown(unknown.join(', '))}`}
      </p>
      <table>
        <thead><tr>{words.parts.columns.map((one, place) => <th key={one} scope="col" class={place ? 'number' : ''}>{one}</th>)}</tr></thead>
        <tbody>
          {told.parts.map((one) => (
            <tr key={one.part} class={one.order ? 'wrong' : ''}>
              <th scope="row">{one.part}</th>
              <td class="number">{one.in_devices}</td>
              <td class="number">{one.spares}</td>
              <td class="number">{words.parts.percent(one.chance_short)}</td>
              <td class="number">{one.pack}</td>
              <td class="number">{one.have ?? words.parts.notSaid}</td>
              <td class="number">{one.order ? <b>{one.order}</b> : one.order}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p>{words.parts.ready(ledger.in_stock, ledger.in_field, ledger.other_builds)} {words.parts.rates(told.catches_per_device_night, told.damage_per_device_night)}</p>
      <p><b>{words.parts.pack(weight(told.pack.kg, units.value))}</b>{told.pack.without.length > 0 && ` ${words.laid.without(told.pack.without.join(', '))}`}.</p>
      <Cuts told={told.cut_list} />
      {told.said.map((one) => <p key={one}><small>{one}</small></p>)}
    </>
  );
}
