/** Takes photos of an entry; they are made small at once. */
import { useState } from 'preact/hooks';
import { shrink, type Photo } from '../store/photos';
import { words } from '../words';

export function Photos({ photos, onChange }: { photos: Photo[]; onChange: (photos: Photo[]) => void }) {
  const [failed, setFailed] = useState(false);
  const take = async (files: FileList | null) => {
    setFailed(false);
    try {
      onChange([...photos, ...(await Promise.all([...(files ?? [])].map(shrink)))]);
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
    </div>
  );
}
