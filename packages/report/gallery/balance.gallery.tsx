import { BalanceChart } from '../src/index';
import { balance, bareBalance, control } from './trials';

const oneRound = balance.map((course) => ({ ...course, points: course.points.slice(4, 5) }));

export const balances = {
  balance: (width: number) => <BalanceChart balance={balance} control={control} width={width} />,
  'balance-lit': (width: number) => (
    <BalanceChart
      balance={balance}
      control={control}
      width={width}
      lit={{ treatment: 'Wide spacing' }}
      onPick={() => undefined}
    />
  ),
  'balance-zero': (width: number) => (
    <BalanceChart balance={bareBalance} control={control} width={width} />
  ),
  'balance-one-round': (width: number) => (
    <BalanceChart balance={oneRound} control={control} width={width} />
  ),
};
