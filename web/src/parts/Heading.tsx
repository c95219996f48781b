/** The heading of a view; it takes the focus, so that a reader of the screen starts there. */
import { useEffect, useRef } from 'preact/hooks';

export function Heading({ children }: { children: string }) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), [children]);
  return (
    <h1 ref={heading} tabIndex={-1}>
      {children}
    </h1>
  );
}
