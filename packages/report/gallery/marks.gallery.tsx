import { EvidenceMark, styleOf, TreatmentMark, treatmentStyles } from '../src/index';
import { tone } from '../src/theme';
import { control, type Graded, twelve } from './trials';

const styles = treatmentStyles([...twelve, ...twelve.map((name) => `${name} again`)], control);
const evidence = (grade: Graded) => () => <EvidenceMark grade={grade} />;

export const marks = {
  'evidence-no-answer': evidence('no answer'),
  'evidence-a-hint': evidence('a hint'),
  'evidence-fair': evidence('fair'),
  'evidence-firm': evidence('firm'),
  marks: () => (
    <svg xmlns="http://www.w3.org/2000/svg" width={340} height={90} viewBox="0 0 340 90">
      <rect width={340} height={90} fill={tone('paper')} />
      {[...styles.keys()].map((name, i) => (
        <TreatmentMark
          key={name}
          treatment={styleOf(styles, name)}
          x={20 + (i % 12) * 27}
          y={25 + Math.floor(i / 12) * 36}
          size={18}
        />
      ))}
    </svg>
  ),
};
