/** A field for files onto which they can be dropped too. */
import { useId, useState } from 'preact/hooks';

export function FileDrop(props: {
  readonly label: string;
  readonly accept: string;
  readonly multiple?: boolean;
  readonly onFiles: (files: readonly File[]) => Promise<void>;
}) {
  const { label, accept, multiple = false, onFiles } = props;
  const id = useId();
  const [over, setOver] = useState(false);
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping is a second way; the field in it is reached by keyboard
    <div
      class={`drop${over ? ' over' : ''}`}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        void onFiles([...(event.dataTransfer?.files ?? [])]);
      }}
    >
      <label for={id}>{label}</label>
      <input
        id={id}
        type="file"
        multiple={multiple}
        accept={accept}
        onChange={(event) => {
          const field = event.currentTarget;
          void onFiles([...(field.files ?? [])]).then(() => {
            field.value = '';
          });
        }}
      />
    </div>
  );
}
