import { type ReactNode, useEffect, useRef } from 'react';

/**
 * One paper on the dark table with nothing of the archive behind it: what happened, what is safe, what
 * to do. Its heading has the focus, so that it is read out first.
 */
export function StopPage({
  title,
  sub,
  children,
}: {
  title: string;
  /** one sentence under the heading */
  sub: string;
  children: ReactNode;
}) {
  const heading = useRef<HTMLHeadingElement>(null);
  useEffect(() => heading.current?.focus(), []);
  return (
    <div className="stop-page">
      <main className="paper stop-paper stack" aria-labelledby="stop">
        <div>
          <h1 id="stop" ref={heading} tabIndex={-1}>
            {title}
          </h1>
          <p className="sub">{sub}</p>
        </div>
        {children}
      </main>
    </div>
  );
}

export function StopSection({ title, children }: { title: string; children: ReactNode }) {
  return (
    <section className="stack stop-section">
      <h2>{title}</h2>
      {children}
    </section>
  );
}
