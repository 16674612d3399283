import { Button, FileTrigger } from 'react-aria-components';
import { takeFile } from './pickedFile';

const kinds = ['.csv', '.tsv', '.txt', '.xlsx', '.zip'];

/** The button that opens the device's own file chooser. */
export function ChooseFile({
  label,
  quiet = false,
}: {
  readonly label: string;
  readonly quiet?: boolean;
}) {
  return (
    <FileTrigger
      acceptedFileTypes={kinds}
      onSelect={(files) => {
        const file = files?.[0];
        if (file) takeFile(file);
      }}
    >
      <Button className={quiet ? 'button quiet' : 'button'}>{label}</Button>
    </FileTrigger>
  );
}
