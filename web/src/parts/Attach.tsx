/** Photos and spoken notes of an entry; photos are made small at once. */
import { useState } from 'preact/hooks';
import { shrink, type Kept } from '../store/files';
import { words } from '../words';
import { Voice } from './Voice';

interface Props {
  files: Kept[];
  onChange: (files: Kept[]) => void;
}

export function Attach({ files, onChange }: Props) {
  const [failed, setFailed] = useState(false);
  const photos = files.filter((one) => one.sort === 'photos');
  const take = async (found: FileList | null) => {
    setFailed(false);
    try {
      onChange([...files, ...(await Promise.all([...(found ?? [])].map(shrink)))]);
    } catch {
      setFailed(true);
    }
  };
  return (
    <div>
      <label class="file">
        {words.check.photo}
        <input type="file" accept="image/*" capture="environment" multiple onChange={(e) => void take(e.currentTarget.files)} />
      </label>
      {photos.length > 0 && <p>{words.check.photos(photos.length)}</p>}
      {failed && <p class="mark">{words.check.photoFailed}</p>}
      <Voice files={files} onChange={onChange} />
    </div>
  );
}
