//! Which design is loaded: the same for one run and for many.

use clap::Args;
use clap::builder::NonEmptyStringValueParser;
use hallwright_scenario::{DEFAULT_PART_LIMIT, LoadOptions};

use super::root::RootFlag;
use super::values::name_and_value;

/// Which variants of a scenario are loaded, and with what parameters.
#[derive(Clone, Debug, Args)]
pub(crate) struct Loading {
    /// The variant, by its name in the scenario; `check`, `compare` and `show` take several. Without it,
    /// `check` and `compare` take all variants, other commands the scenario without a variant.
    #[arg(long, value_name = "NAME", value_parser = NonEmptyStringValueParser::new())]
    pub(crate) variant: Vec<String>,

    /// Set a parameter of the scenario; may be given several times.
    #[arg(long, value_name = "NAME=VALUE", value_parser = name_and_value)]
    pub(crate) set: Vec<(String, String)>,

    /// The most parts that a scenario may expand to.
    #[arg(long, value_name = "N", default_value_t = DEFAULT_PART_LIMIT)]
    pub(crate) part_limit: usize,

    #[command(flatten)]
    pub(crate) root: RootFlag,
}

impl Loading {
    /// How a scenario is loaded in this variant.
    pub(crate) fn options(&self, variant: Option<&str>) -> LoadOptions {
        LoadOptions {
            variant: variant.map(str::to_owned),
            set: self.set.clone(),
            part_limit: self.part_limit,
            root: self.root.root.clone(),
            ..LoadOptions::default()
        }
    }

    /// The only variant, where a command takes one.
    ///
    /// # Errors
    ///
    /// If there are several.
    pub(crate) fn one_variant(&self) -> anyhow::Result<Option<&str>> {
        match self.variant.as_slice() {
            [] => Ok(None),
            [one] => Ok(Some(one)),
            _ => anyhow::bail!(
                "`--variant` was given more than once: this command takes one variant; `check`, \
                 `compare` and `show` take several"
            ),
        }
    }
}
