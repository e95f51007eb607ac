//! A formula written as text, evaluated with plain or with dual numbers.

use num_dual::DualNum;

/// A formula such as `asin((rear - front)/rim)`: numbers, names, `+ - * /`, `^` with a plain number behind it, and the
/// functions of [`FUNCTIONS`].
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Expression {
    root: Node,
    /// The names in it, each once, in the order of first use.
    pub(super) names: Vec<String>,
}

#[derive(Debug, Clone, PartialEq)]
enum Node {
    Number(f64),
    /// By its place in `names`.
    Name(usize),
    Negative(Box<Node>),
    Both(char, Box<Node>, Box<Node>),
    Power(Box<Node>, f64),
    Call(&'static str, Box<Node>),
}

const FUNCTIONS: [&str; 8] = ["sin", "cos", "tan", "asin", "acos", "atan", "exp", "sqrt"];

/// Signs, functions and brackets; more is no formula of this trade, and recursion has to end.
const LONGEST: usize = 200;

#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("`{formula}` is not a formula from `{rest}` on; write numbers, names, + - * / ^ and brackets")]
pub(super) struct NotAFormula {
    formula: String,
    rest: String,
}

impl Expression {
    pub(super) fn parse(text: &str) -> Result<Expression, NotAFormula> {
        let mut reader = Reader { rest: text, names: Vec::new(), steps: 0 };
        match reader.sum() {
            Some(root) if reader.rest.trim().is_empty() => Ok(Expression { root, names: reader.names }),
            _ => Err(NotAFormula { formula: text.to_owned(), rest: reader.rest.trim().to_owned() }),
        }
    }

    /// The formula at these values of its names; NaN where a name has none or a function is not defined.
    pub(super) fn at<D: DualNum<Primitive = f64>>(&self, values: &[D]) -> D {
        evaluate(&self.root, values)
    }
}

fn evaluate<D: DualNum<Primitive = f64>>(node: &Node, values: &[D]) -> D {
    match node {
        Node::Number(number) => D::from(*number),
        Node::Name(place) => values.get(*place).cloned().unwrap_or_else(|| D::from(f64::NAN)),
        Node::Negative(inner) => -evaluate(inner, values),
        Node::Both(sign, left, right) => {
            let (left, right) = (evaluate(left, values), evaluate(right, values));
            match sign {
                '+' => left + right,
                '-' => left - right,
                '*' => left * right,
                _ => left / right,
            }
        }
        // A whole power has derivatives at zero too.
        Node::Power(base, power) if power.fract() == 0.0 && power.abs() < 100.0 => {
            evaluate(base, values).powi(*power as i32)
        }
        Node::Power(base, power) => evaluate(base, values).powf(*power),
        Node::Call(name, inner) => {
            let x = evaluate(inner, values);
            match *name {
                "sin" => x.sin(),
                "cos" => x.cos(),
                "tan" => x.tan(),
                "asin" => x.asin(),
                "acos" => x.acos(),
                "atan" => x.atan(),
                "exp" => x.exp(),
                _ => x.sqrt(),
            }
        }
    }
}

struct Reader<'a> {
    rest: &'a str,
    names: Vec<String>,
    steps: usize,
}

impl Reader<'_> {
    fn sum(&mut self) -> Option<Node> {
        self.step()?;
        self.chain(['+', '-'], |reader| reader.chain(['*', '/'], Reader::signed))
    }

    /// Operands of one rank, from left to right.
    fn chain(&mut self, signs: [char; 2], operand: impl Fn(&mut Self) -> Option<Node>) -> Option<Node> {
        let mut node = operand(self)?;
        while let Some(sign) = signs.into_iter().find(|sign| self.take(*sign)) {
            self.step()?;
            node = Node::Both(sign, Box::new(node), Box::new(operand(self)?));
        }
        Some(node)
    }

    fn signed(&mut self) -> Option<Node> {
        if self.take('-') {
            return Some(Node::Negative(Box::new(self.power()?)));
        }
        self.power()
    }

    fn power(&mut self) -> Option<Node> {
        let base = self.atom()?;
        if !self.take('^') {
            return Some(base);
        }
        let sign = if self.take('-') { -1.0 } else { 1.0 };
        Some(Node::Power(Box::new(base), sign * self.number()?))
    }

    fn atom(&mut self) -> Option<Node> {
        if self.take('(') {
            return self.closing();
        }
        if let Some(number) = self.number() {
            return Some(Node::Number(number));
        }
        let name = self.run(|c| c.is_alphanumeric() || c == '_')?;
        if self.take('(') {
            let function = FUNCTIONS.into_iter().find(|known| *known == name)?;
            return Some(Node::Call(function, Box::new(self.closing()?)));
        }
        let place = self.names.iter().position(|have| *have == name).unwrap_or_else(|| {
            self.names.push(name);
            self.names.len() - 1
        });
        Some(Node::Name(place))
    }

    /// One more step; none beyond the longest formula.
    fn step(&mut self) -> Option<()> {
        self.steps += 1;
        (self.steps <= LONGEST).then_some(())
    }

    fn closing(&mut self) -> Option<Node> {
        let inner = self.sum()?;
        self.take(')').then_some(inner)
    }

    fn number(&mut self) -> Option<f64> {
        self.rest.trim_start().starts_with(|c: char| c.is_ascii_digit()).then_some(())?;
        self.run(|c| c.is_ascii_digit() || c == '.')?.parse().ok()
    }

    fn take(&mut self, sign: char) -> bool {
        let found = self.rest.trim_start().strip_prefix(sign);
        self.rest = found.unwrap_or(self.rest);
        found.is_some()
    }

    fn run(&mut self, belongs: impl Fn(char) -> bool) -> Option<String> {
        let text = self.rest.trim_start();
        let end = text.find(|c| !belongs(c)).unwrap_or(text.len());
        self.rest = &text[end..];
        (end > 0).then(|| text[..end].to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn formulas_follow_the_usual_order_of_operations() {
        for (text, expected) in [
            ("1 + 2*3", 7.0),
            ("2 - 3 - 4", -5.0),
            ("12/3/2", 2.0),
            ("-2^2", -4.0),
            ("2*-3", -6.0),
            ("(1+x)^2 - x", 7.0),
            ("4^0.5 + 2^-1", 2.5),
            ("sqrt(x*x) + asin(0)", 2.0),
        ] {
            assert_eq!(Expression::parse(text).unwrap().at(&[2.0]), expected, "{text}");
        }
    }

    #[test]
    fn what_is_no_formula_is_refused() {
        let deep = format!("{}1{}", "(".repeat(100_000), ")".repeat(100_000));
        let long = "1+".repeat(100_000) + "1";
        for text in ["", "1 +", "(1", "1)", "a b", "log(2)", "x^y", "1.2.3", "2 $ 3", &deep, &long] {
            assert!(Expression::parse(text).is_err(), "{text:.20}");
        }
        assert!(Expression::parse("a + b").unwrap().at::<f64>(&[1.0]).is_nan());
    }
}
