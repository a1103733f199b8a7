import './shell.css';
import { lazy, type ReactNode, Suspense } from 'react';
import { signOut } from './api/state.js';
import { DemoBanner } from './DemoBanner.js';
import { Go } from './Go.js';
import { say } from './language/say.js';
import { MarkBox } from './MarkBox.js';
import { goTo } from './navigate.js';
import { marksAbove, pathOf } from './place.js';
import { useSession } from './session.js';

const WalkStrip = lazy(async () => ({
  default: (await import('../welcome/walk/WalkStrip.js')).WalkStrip,
}));

/**
 * What stands round every screen: the mark as address, the sentence that says what is shown,
 * who looks, and the banner of a demo.
 */
export function Shell({
  mark,
  sentence,
  children,
}: {
  mark: string | null;
  sentence: ReactNode;
  children: ReactNode;
}) {
  const { me, state, again } = useSession();
  const leave = () => {
    void signOut().finally(() => {
      goTo('/');
      again();
    });
  };
  return (
    <div className="shell">
      <header className="bar">
        <MarkBox mark={mark} />
        <nav className="crumbs" aria-label={say('Above this place')}>
          <Go to="/" {...(mark === null ? { 'aria-current': 'page' as const } : {})}>
            {say('wall')}
          </Go>
          {mark === null
            ? null
            : marksAbove(mark).map((above) => (
                <Go
                  key={above}
                  to={pathOf(above)}
                  aria-label={above}
                  {...(above === mark ? { 'aria-current': 'page' as const } : {})}
                >
                  {above.split('.').at(-1)}
                </Go>
              ))}
        </nav>
        <div className="say">{sentence}</div>
        <div className="who">
          <Go className="word" to="/people">
            {me.displayName}
          </Go>
          <button type="button" className="word" onClick={leave}>
            {say('leave')}
          </button>
        </div>
      </header>
      {state.demo ? (
        <div className="under-bar">
          <DemoBanner />
          <Suspense fallback={null}>
            <WalkStrip />
          </Suspense>
        </div>
      ) : null}
      <main className="stage">{children}</main>
    </div>
  );
}
