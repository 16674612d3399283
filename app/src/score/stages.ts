/**
 * Growth stages in words for leafy, heading and root vegetables, from the BBCH scale (Feller et al.
 * 1995, Nachrichtenbl. Deut. Pflanzenschutzd. 47; the numbers by secondary sources, the volume from
 * memory). A few of its stages, for choosing by eye; any number from 0 to 99 can be typed.
 */
export const stages: readonly { readonly id: string; readonly title: string }[] = [
  { id: '', title: 'Not noted' },
  { id: '10', title: '10: seed leaves open' },
  { id: '12', title: '12: two true leaves' },
  { id: '14', title: '14: four true leaves' },
  { id: '16', title: '16: six true leaves' },
  { id: '19', title: '19: nine or more true leaves' },
  { id: '33', title: '33: rosette or shoot at 30 % of its size' },
  { id: '35', title: '35: rosette or shoot at half its size' },
  { id: '39', title: '39: rosette or shoot full-grown' },
  { id: '41', title: '41: head, root or leaf mass begins' },
  { id: '43', title: '43: 30 % of its size' },
  { id: '45', title: '45: half its size' },
  { id: '47', title: '47: 70 % of its size' },
  { id: '49', title: '49: full size, ready to harvest' },
  { id: '51', title: '51: shoots up to flower' },
];
