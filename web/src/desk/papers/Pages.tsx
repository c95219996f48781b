/** The pages of a paper as pictures, sharp on the screen and in print; the same drawing as in the PDF. */
import { useEffect, useState } from 'preact/hooks';
import { Picture } from '../parts/Picture';
import { words } from './words';

/** Unpacks a page: gzip in base64. */
async function unpacked(page: string): Promise<Blob> {
  const bytes = Uint8Array.from(atob(page), (letter) => letter.charCodeAt(0));
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return new Blob([await new Response(plain).arrayBuffer()], { type: 'image/svg+xml' });
}

export function Pages({ pages, name }: { pages: string[]; name: string }) {
  return (
    <div class="pages">
      {pages.map((one, place) => <Page key={place} page={one} alt={words.page(name, place + 1, pages.length)} />)}
    </div>
  );
}

function Page({ page, alt }: { page: string; alt: string }) {
  const [content, setContent] = useState<Blob | null>(null);
  useEffect(() => {
    let wanted = true;
    void unpacked(page).then((found) => wanted && setContent(found));
    return () => {
      wanted = false;
    };
  }, [page]);
  return content && <Picture content={content} alt={alt} name="page" />;
}
