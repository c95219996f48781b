/** A spoken note: recorded here where the phone allows it, or a file from its own recorder. */
import { useEffect, useRef, useState } from 'preact/hooks';
import { spoken, type Kept } from '../store/files';
import { words } from '../words';

const w = words.voice;
const LONGEST_S = 120;
/** Speech needs no more [bits a second]; two minutes are 360 kB. */
const RATE = 24_000;

interface Props {
  files: Kept[];
  onChange: (files: Kept[]) => void;
}

export function Voice({ files, onChange }: Props) {
  const [seconds, setSeconds] = useState<number | null>(null);
  const [says, setSays] = useState('');
  const recorder = useRef<MediaRecorder | null>(null);
  const now = useRef<Props>({ files, onChange });
  now.current = { files, onChange };
  const notes = files.filter((one) => one.sort === 'voices');
  const can = 'MediaRecorder' in globalThis && navigator.mediaDevices !== undefined;
  const keep = async (blob: Blob) => {
    const made = await spoken(blob);
    setSays(made ? '' : w.tooLarge);
    if (made) now.current.onChange([...now.current.files, made]);
  };
  const start = async () => {
    setSays('');
    try {
      const heard = await navigator.mediaDevices.getUserMedia({ audio: true });
      const made = new MediaRecorder(heard, { audioBitsPerSecond: RATE });
      const parts: Blob[] = [];
      made.ondataavailable = (e) => void parts.push(e.data);
      made.onstop = () => {
        heard.getTracks().forEach((track) => track.stop());
        recorder.current = null;
        setSeconds(null);
        void keep(new Blob(parts, { type: made.mimeType }));
      };
      made.start();
      recorder.current = made;
      setSeconds(0);
    } catch {
      setSays(w.refused);
    }
  };
  const running = seconds !== null;
  useEffect(() => {
    if (!running) return;
    const tick = setInterval(() => setSeconds((before) => (before ?? 0) + 1), 1000);
    const end = setTimeout(() => recorder.current?.stop(), LONGEST_S * 1000);
    return () => {
      clearInterval(tick);
      clearTimeout(end);
    };
  }, [running]);
  useEffect(() => () => recorder.current?.stream.getTracks().forEach((track) => track.stop()), []);
  return (
    <div>
      {can && (
        <button type="button" class="wide" aria-pressed={running} onClick={() => (running ? recorder.current?.stop() : void start())}>
          {running ? w.stop(seconds, LONGEST_S) : w.record}
        </button>
      )}
      <label class="file">
        {w.choose}
        <input type="file" accept="audio/*" onChange={(e) => e.currentTarget.files?.[0] && void keep(e.currentTarget.files[0])} />
      </label>
      <small>{w.chosenSays}</small>
      {says && <p class="mark" role="status">{says}</p>}
      {notes.map((note, n) => <Note key={note.sha256} note={note} label={w.note(n + 1)} onDrop={() => onChange(files.filter((one) => one !== note))} />)}
    </div>
  );
}

function Note({ note, label, onDrop }: { note: Kept; label: string; onDrop: () => void }) {
  const [address, setAddress] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(note.blob);
    setAddress(made);
    return () => URL.revokeObjectURL(made);
  }, [note]);
  return (
    <div class="undo">
      <audio controls aria-label={label} src={address} />
      <button type="button" aria-label={w.drop(label)} onClick={onDrop}>{w.dropShort}</button>
    </div>
  );
}
