import { Component, type ReactNode } from 'react';
import { say } from './language/say.js';

/**
 * A screen that broke, or a part of the program that did not come, says so in place of an empty page.
 * The address is kept: loaded again, one stands where one was.
 */
export class Caught extends Component<{ children: ReactNode }, { why: string | null }> {
  override state: { why: string | null } = { why: null };

  static getDerivedStateFromError(error: unknown): { why: string } {
    return { why: error instanceof Error ? error.message : String(error) };
  }

  override render(): ReactNode {
    const { why } = this.state;
    if (why === null) return this.props.children;
    return (
      <div className="scroll">
        <section className="paper stack" role="alert">
          <h1>{say('This screen stopped')}</h1>
          <p>
            {say(
              'A part of it did not come, or it broke. What was recorded is in the archive; what was drawn and not yet sent lies in this browser.',
            )}
          </p>
          <p className="hint">{why}</p>
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
