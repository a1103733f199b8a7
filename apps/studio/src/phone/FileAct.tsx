/** An act that asks for a file: the phone's own camera, or pictures that lie on the device. */
export function FileAct({
  words,
  isCamera = false,
  isQuiet = !isCamera,
  disabled = false,
  onFiles,
}: {
  words: string;
  /** opens the camera; else several files may be chosen */
  isCamera?: boolean;
  isQuiet?: boolean;
  disabled?: boolean;
  onFiles: (files: readonly File[]) => void;
}) {
  return (
    <label className={isQuiet ? 'act quiet' : 'act camera'} data-disabled={disabled}>
      {words}
      <input
        type="file"
        accept="image/*"
        disabled={disabled}
        {...(isCamera ? { capture: 'environment' as const } : { multiple: true })}
        onChange={(event) => {
          const files = [...(event.target.files ?? [])];
          event.target.value = '';
          if (files.length > 0) onFiles(files);
        }}
      />
    </label>
  );
}
