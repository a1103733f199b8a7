import { Component, type ReactNode } from 'react';
import { say } from './language/say.js';

/**
 * A screen that broke, or a part of the program that did not come, says so in place of an empty page.
 * The address is kept: loaded again, one stands where one was.
 */
export class Caught extends Component<{ children: ReactNode }, { fault: unknown }> {
  override state: { fault: unknown } = { fault: null };

  static getDerivedStateFromError(fault: unknown): { fault: unknown } {
    return { fault: fault ?? 'unknown' };
  }

  override render(): ReactNode {
    const { fault } = this.state;
    if (fault === null) return this.props.children;
    return (
      <div className="scroll">
        <section className="paper stack" role="alert">
          <h1>{say('This screen stopped')}</h1>
          <p>
            {say(
              'A part of it did not come, or it broke. What was recorded is in the archive; what was drawn and not yet sent lies in this browser.',
            )}
          </p>
          <p className="hint">{fault instanceof Error ? fault.message : String(fault)}</p>
          <button
            type="button"
            className="act"
            onClick={() => {
              window.location.reload();
            }}
          >
            {say('Load the page again')}
          </button>
        </section>
      </div>
    );
  }
}
