/** The acts at the board, each with its key; on a phone they are pushed along under the thumb. */
export interface DockAct {
  readonly key: string;
  readonly words: string;
  readonly give: () => void;
  readonly pressed?: boolean;
  readonly disabled?: boolean;
  /** what the act is of, for those who do not see the board */
  readonly more?: string;
}

/** @param where on a phone the answers to a question take the place of the tools */
export function ToolDock({
  acts,
  keysOn,
  label,
  where,
}: {
  acts: readonly DockAct[];
  keysOn: boolean;
  label: string;
  where: 'everywhere' | 'desk' | 'phone';
}) {
  return (
    <div className="dock tools" data-where={where} role="toolbar" aria-label={label}>
      {acts.map((act) => (
        <button
          key={act.words}
          type="button"
          className="quiet"
          aria-pressed={act.pressed}
          aria-keyshortcuts={keysOn ? act.key : undefined}
          disabled={act.disabled}
          onClick={act.give}
        >
          <span>
            {act.words}
            {act.more === undefined ? null : <span className="unseen">: {act.more}</span>}
          </span>
          {keysOn ? <kbd aria-hidden="true">{act.key}</kbd> : null}
        </button>
      ))}
    </div>
  );
}
