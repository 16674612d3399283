declare const brand: unique symbol;

/** A value of type T that went through the one constructor that checks it; a plain T won't do. */
export type Brand<T, Name extends string> = T & { readonly [brand]: Name };
