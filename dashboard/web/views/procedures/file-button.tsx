import { useRef } from 'preact/hooks';

/** A procedure is far smaller; more than this is another file. */
const FILE_LIMIT = 60_000;

interface FileButtonProps {
  readonly label: string;
  readonly accept: string;
  readonly take: (content: string, name: string) => void;
  readonly refuse: () => void;
}

/** A button that opens a file of this device; a real button, so that keys and size are those of all others. */
export function FileButton({ label, accept, take, refuse }: FileButtonProps) {
  const input = useRef<HTMLInputElement>(null);
  return (
    <>
      <button type="button" onClick={() => input.current?.click()}>
        {label}
      </button>
      <input
        ref={input}
        class="file-input"
        type="file"
        accept={accept}
        aria-label={label}
        tabIndex={-1}
        onChange={event => {
          const box = event.currentTarget;
          const file = box.files?.[0];
          // The same file may be chosen again after it was mended.
          const done = (): void => {
            box.value = '';
          };
          if (file === undefined) return;
          if (file.size > FILE_LIMIT) {
            refuse();
            done();
            return;
          }
          void file.text().then(content => {
            take(content, file.name);
            done();
          });
        }}
      />
    </>
  );
}
