/** A picture that the machine drew: shown from memory, let go of when it is no longer wanted. */
import { useEffect, useState } from 'preact/hooks';

export function Picture({ content, alt, name = 'picture' }: { content: Blob; alt: string; name?: string }) {
  const [url, setUrl] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(content);
    setUrl(made);
    return () => URL.revokeObjectURL(made);
  }, [content]);
  return url ? <img class={name} src={url} alt={alt} /> : null;
}
