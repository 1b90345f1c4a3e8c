//! Rates of exchange, as stated; none is ever assumed.

use super::value::Form;
use super::{Dimension, Quantity, QuantityError};

/// What one money is worth in another, both ways, for the pairs that were stated.
#[derive(Clone, PartialEq, Eq, Hash, Debug, Default)]
pub struct Rates {
    stated: Vec<(Quantity, Quantity)>,
}

impl Rates {
    /// No rate at all.
    pub fn new() -> Self {
        Self::default()
    }

    /// States that one amount is worth another: 1 EUR is 1.09 USD. A range in either is kept.
    ///
    /// # Errors
    /// What is no money, or may be zero or less; two amounts of one money; a pair stated before, the same
    /// way or the other.
    pub fn state(&mut self, one: &Quantity, other: &Quantity) -> Result<(), QuantityError> {
        let (from, to) = (money(one)?, money(other)?);
        if one.lo() <= 0.0 || other.lo() <= 0.0 {
            return Err(QuantityError::DivisionByZero);
        }
        let known = |it: &&(Quantity, Quantity)| {
            let pair = (it.0.currency(), it.1.currency());
            pair == (Some(from), Some(to)) || pair == (Some(to), Some(from))
        };
        if from == to || self.stated.iter().find(known).is_some() {
            return Err(QuantityError::RateTwice { left: from, right: to });
        }
        self.stated.push((*one, *other));
        Ok(())
    }

    /// How many were stated.
    pub fn len(&self) -> usize {
        self.stated.len()
    }

    /// True when none was stated.
    pub fn is_empty(&self) -> bool {
        self.stated.is_empty()
    }

    /// An amount in another money, by the fewest rates that lead there; of two ways as short, by the one
    /// stated first. Ranges of amount and rates are taken at their worst.
    ///
    /// # Errors
    /// What is no money, a currency that is not known, or no rate that leads there.
    pub fn convert(&self, amount: &Quantity, currency: &str) -> Result<Quantity, QuantityError> {
        let (from, unit) = (money(amount)?, super::unit::find(currency)?);
        let to = unit.currency.ok_or(QuantityError::NoMoney)?;
        // Each money reached so far, by the fewest steps, with the amount in it.
        let mut reached = vec![(from, *amount)];
        let mut at = 0;
        while let Some(&(here, amount)) = reached.get(at) {
            if here == to {
                return amount.shown_in(currency);
            }
            for (one, other) in &self.stated {
                for (near, far) in [(one, other), (other, one)] {
                    let (near_code, far_code) = (money(near)?, money(far)?);
                    if near_code == here && reached.iter().all(|(it, _)| *it != far_code) {
                        reached.push((far_code, exchanged(&amount, near, far)?));
                    }
                }
            }
            at += 1;
        }
        Err(QuantityError::NoRate { from, to })
    }
}

/// The code of an amount of money.
fn money(it: &Quantity) -> Result<[u8; 3], QuantityError> {
    it.currency().filter(|_| it.dimension() == Dimension::MONEY).ok_or(QuantityError::NoMoney)
}

fn exchanged(amount: &Quantity, near: &Quantity, far: &Quantity) -> Result<Quantity, QuantityError> {
    let parts = amount.div(near)?;
    let made = parts.mul(far)?;
    let ends = [made.lo(), made.nominal(), made.hi()];
    Quantity::build(ends, Dimension::MONEY, far.currency(), far.unit(), Form::Computed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn q(figure: f64, unit: &str) -> Quantity {
        Quantity::exact(figure, unit).unwrap()
    }

    fn rates() -> Rates {
        let mut rates = Rates::new();
        rates.state(&q(1.0, "EUR"), &q(1.09, "USD")).unwrap();
        rates.state(&q(1.0, "GBP"), &q(1.27, "USD")).unwrap();
        rates
    }

    #[test]
    fn both_ways_and_through_a_third() {
        let rates = rates();
        assert_eq!(rates.convert(&q(100.0, "EUR"), "USD").unwrap().display(), "109 USD");
        assert_eq!(rates.convert(&q(109.0, "USD"), "EUR").unwrap().display(), "100 EUR");
        // 100 EUR are 109 USD, which are 85.83 GBP.
        assert_eq!(rates.convert(&q(100.0, "EUR"), "GBP").unwrap().display(), "85.83 GBP");
        assert_eq!(rates.convert(&q(100.0, "EUR"), "EUR").unwrap().display(), "100 EUR");
        assert_eq!((rates.len(), rates.is_empty(), Rates::new().is_empty()), (2, false, true));
    }

    #[test]
    fn the_fewest_rates_lead() {
        let mut rates = rates();
        rates.state(&q(1.0, "EUR"), &q(0.9, "GBP")).unwrap();
        assert_eq!(rates.convert(&q(100.0, "EUR"), "GBP").unwrap().display(), "90 GBP");
    }

    #[test]
    fn ranges_are_taken_at_their_worst() {
        let mut rates = Rates::new();
        rates.state(&q(1.0, "EUR"), &Quantity::range(1.0, 1.2, "USD").unwrap()).unwrap();
        let amount = Quantity::range(100.0, 200.0, "EUR").unwrap();
        assert_eq!(rates.convert(&amount, "USD").unwrap().display(), "100 to 240 USD");
        assert_eq!(rates.convert(&q(12.0, "USD"), "EUR").unwrap().display(), "10 to 12 EUR");
    }

    #[test]
    fn nothing_is_assumed() {
        let rates = rates();
        let error = rates.convert(&q(1.0, "EUR"), "JPY").unwrap_err();
        assert_eq!(error.to_string(), "no rate of exchange leads from EUR to JPY");
        assert!(rates.convert(&q(1.0, "mm"), "EUR").is_err());
        assert!(rates.convert(&q(1.0, "EUR"), "mm").is_err());
        assert!(rates.convert(&q(1.0, "EUR"), "XYZ").is_err());
    }

    #[test]
    fn a_rate_is_stated_once_and_is_above_zero() {
        let mut rates = rates();
        let error = rates.state(&q(1.0, "USD"), &q(0.9, "EUR")).unwrap_err();
        assert_eq!(error.to_string(), "what USD is worth in EUR is stated twice");
        assert!(rates.state(&q(1.0, "EUR"), &q(1.0, "EUR")).is_err());
        assert!(rates.state(&q(0.0, "EUR"), &q(1.0, "JPY")).is_err());
        assert!(rates.state(&q(1.0, "EUR"), &q(1.0, "kg")).is_err());
        assert_eq!(rates.len(), 2);
    }
}
