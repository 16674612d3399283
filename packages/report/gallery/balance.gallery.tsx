import { BalanceChart } from '../src/index';
import { balance, bareBalance, styles } from './trials';

const oneRound = balance.map((course) => ({ ...course, points: course.points.slice(4, 5) }));

export const balances = {
  balance: (width: number) => <BalanceChart balance={balance} width={width} styles={styles} />,
  'balance-lit': (width: number) => (
    <BalanceChart
      balance={balance}
      width={width}
      styles={styles}
      lit={{ treatment: 'Wide spacing' }}
      onPick={() => undefined}
    />
  ),
  'balance-zero': (width: number) => (
    <BalanceChart balance={bareBalance} width={width} styles={styles} />
  ),
  'balance-one-round': (width: number) => (
    <BalanceChart balance={oneRound} width={width} styles={styles} />
  ),
};
