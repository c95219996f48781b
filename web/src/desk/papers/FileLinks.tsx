/** A file fetched when it is wanted: opened beside the page, or saved under its name. */
import { useState } from 'preact/hooks';

interface Props {
  get: () => Promise<Blob | null>;
  name: string;
  save: string;
  open?: string;
}

/** How long an address of a file is kept for the window that opens it [ms]. */
const LIVES = 60_000;

export function FileLinks({ get, name, save, open = '' }: Props) {
  const [busy, setBusy] = useState(false);
  const fetched = async (use: (url: string) => void): Promise<void> => {
    setBusy(true);
    try {
      const content = await get();
      if (content === null) return;
      const url = URL.createObjectURL(content);
      setTimeout(() => URL.revokeObjectURL(url), LIVES);
      use(url);
    } finally {
      setBusy(false);
    }
  };
  const saved = (url: string): void => {
    const link = document.createElement('a');
    link.href = url;
    link.download = name;
    link.click();
  };
  return (
    <>
      {open && <button type="button" disabled={busy} aria-label={`${open}: ${name}`} onClick={() => void fetched((url) => window.open(url, '_blank'))}>{open}</button>}{' '}
      <button type="button" disabled={busy} aria-label={save.includes(name) ? save : `${save}: ${name}`} onClick={() => void fetched(saved)}>{save}</button>
    </>
  );
}
