/** The acts at the board, each with its key; on a phone they are pushed along under the thumb. */
export interface DockAct {
  readonly key: string;
  readonly words: string;
  readonly give: () => void;
  readonly pressed?: boolean;
  readonly disabled?: boolean;
  /** what the act is of, for those who do not see the board */
  readonly label?: string;
}

export function ToolDock({ acts, keysOn }: { acts: readonly DockAct[]; keysOn: boolean }) {
  return (
    <div className="dock tools" role="toolbar" aria-label="Drawing by hand">
      {acts.map((act) => (
        <button
          key={act.words}
          type="button"
          className="quiet"
          aria-pressed={act.pressed}
          aria-label={act.label}
          disabled={act.disabled}
          onClick={act.give}
        >
          {act.words}
          {keysOn ? <kbd>{act.key}</kbd> : null}
        </button>
      ))}
    </div>
  );
}
