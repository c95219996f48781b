/** A question over the page; focus goes in, and back where it was. */
import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';

export function Sheet({ title, onClose, children }: { title: string; onClose: () => void; children: ComponentChildren }) {
  const box = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    const before = document.activeElement as HTMLElement | null;
    box.current?.showModal();
    return () => before?.focus();
  }, []);
  return (
    <dialog ref={box} aria-label={title} onCancel={onClose} onClose={onClose}>
      <h2>{title}</h2>
      {children}
    </dialog>
  );
}
