/** The screens, each read when it is first wanted; asked for twice it is read once. */
export const screens = {
  shelf: () => import('./shelf/ShelfScreen'),
  sheet: () => import('./sheet/SheetScreen'),
  trial: () => import('./verdict/TrialScreen'),
};
