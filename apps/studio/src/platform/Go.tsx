import type { ComponentPropsWithoutRef, MouseEvent } from 'react';
import { goTo } from './navigate.js';

/** A link inside the studio: an ordinary link for the keyboard and for a new tab. */
export function Go({ to, ...rest }: { to: string } & ComponentPropsWithoutRef<'a'>) {
  const follow = (event: MouseEvent<HTMLAnchorElement>) => {
    if (event.button !== 0 || event.metaKey || event.ctrlKey || event.shiftKey) return;
    event.preventDefault();
    goTo(to);
  };
  return <a {...rest} href={to} onClick={follow} />;
}
