;; Counts how many layouts reach each limit, alone and by the running maximum of all columns so far:
;; the vector form of countReached (step-down-family.ts), two layouts at once. A layout is the sum
;; of one table row of every book, added in the order of the books.
;;
;; Memory, bytes: 0 limits (a double each of up to 128 columns); 1024 counts alone (i64 each);
;; 2048 counts by the maximum (two i64 each, one of either layout); 4096 where the rows of each
;; layout start in the tables, counted in doubles (i32 each); 135168 tables. Needs at least one
;; pair, one book and two columns.
(module
  (import "f" "m" (memory 1))
  ;; $pairs of layouts; $books: 4 times their number; $end: 8 times the number of columns, even.
  (func (export "t") (param $pairs i32) (param $books i32) (param $end i32)
    (local $rows i32) (local $a v128) (local $b v128) (local $x v128) (local $top v128) (local $limits v128)
    (local $column i32) (local $next i32) (local $stop i32)
    (local.set $rows (i32.const 4096))
    (loop $pair
      (local.set $top (v128.const i64x2 0 0))
      (local.set $column (i32.const 0))
      (local.set $stop (i32.add (local.get $rows) (local.get $books)))
      (loop $two
        (local.set $a (v128.const i64x2 0 0))
        (local.set $b (v128.const i64x2 0 0))
        (local.set $next (local.get $rows))
        (loop $book
          (local.set $a (f64x2.add (local.get $a)
            (v128.load offset=135168 (i32.add
              (i32.shl (i32.load (local.get $next)) (i32.const 3)) (local.get $column)))))
          (local.set $b (f64x2.add (local.get $b)
            (v128.load offset=135168 (i32.add
              (i32.shl (i32.load (i32.add (local.get $next) (local.get $books))) (i32.const 3))
              (local.get $column)))))
          (br_if $book (i32.lt_u
            (local.tee $next (i32.add (local.get $next) (i32.const 4)))
            (local.get $stop))))
        (local.set $a (f64x2.abs (local.get $a)))
        (local.set $b (f64x2.abs (local.get $b)))
        (local.set $limits (v128.load (local.get $column)))
        ;; a comparison that holds is -1 in its lane
        (v128.store offset=1024 (local.get $column)
          (i64x2.sub
            (i64x2.sub (v128.load offset=1024 (local.get $column))
              (f64x2.ge (local.get $a) (local.get $limits)))
            (f64x2.ge (local.get $b) (local.get $limits))))
        (local.set $top (f64x2.pmax (local.get $top)
          (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23 (local.get $a) (local.get $b))))
        (local.set $x (f64x2.pmax (local.get $top)
          (i8x16.shuffle 8 9 10 11 12 13 14 15 24 25 26 27 28 29 30 31 (local.get $a) (local.get $b))))
        (local.set $next (i32.shl (local.get $column) (i32.const 1)))
        (v128.store offset=2048 (local.get $next)
          (i64x2.sub (v128.load offset=2048 (local.get $next))
            (f64x2.ge (local.get $top) (v128.load64_splat (local.get $column)))))
        (v128.store offset=2064 (local.get $next)
          (i64x2.sub (v128.load offset=2064 (local.get $next))
            (f64x2.ge (local.get $x) (v128.load64_splat offset=8 (local.get $column)))))
        (local.set $top (local.get $x))
        (br_if $two (i32.lt_u
          (local.tee $column (i32.add (local.get $column) (i32.const 16)))
          (local.get $end))))
      (local.set $rows (i32.add (local.get $stop) (local.get $books)))
      (br_if $pair (local.tee $pairs (i32.sub (local.get $pairs) (i32.const 1)))))))
