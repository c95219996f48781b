/** One rule profile, with what of it is not known surely: said before it is chosen. */
import { words } from './words';

export interface ProfileTold {
  id: string;
  title: string;
  about: string;
  state: string;
  good_until: string;
  invented: boolean;
  own: boolean;
  values: number;
  unsure: number;
  unsure_words: string[];
}

export function Profile({ told }: { told: ProfileTold }) {
  return (
    <>
      <p>{told.about}</p>
      <p><small>{words.goodUntil(told.good_until)}</small></p>
      {told.unsure === 0 ? <p>{words.allSeen(told.values)}</p> : (
        <div class="mark">
          <p>{words.unsure(told.unsure, told.values)}</p>
          <ul class="unsure">{told.unsure_words.map((one) => <li key={one}>{one}</li>)}</ul>
        </div>
      )}
      <p>{words.draft}</p>
    </>
  );
}
