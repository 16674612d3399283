/**
 * The screens that are read when they are first wanted; asked for twice, each is read once. A
 * verdict's screen is not among them: it comes with the page.
 */
export const screens = {
  shelf: () => import('./shelf/ShelfScreen').then((part) => part.ShelfScreen),
  sheet: () => import('./sheet/SheetScreen').then((part) => part.SheetScreen),
  plan: () => import('./plan/PlanScreen').then((part) => part.PlanScreen),
  stakes: () => import('./plan/StakesScreen').then((part) => part.StakesScreen),
  bed: () => import('./bed/BedScreen').then((part) => part.BedScreen),
  history: () => import('./history/HistoryScreen').then((part) => part.HistoryScreen),
  share: () => import('./share/ShareScreen').then((part) => part.ShareScreen),
  photos: () => import('./photos/PhotosScreen').then((part) => part.PhotosScreen),
  score: () => import('./score/ScoreScreen').then((part) => part.ScoreScreen),
  stake: () => import('./score/StakeScreen').then((part) => part.StakeScreen),
};

/** Whether the screen of an address is one that has to be read. */
export const isReadLater = (screen: string): screen is keyof typeof screens =>
  Object.hasOwn(screens, screen);
