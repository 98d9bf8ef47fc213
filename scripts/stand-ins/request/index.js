const refuse = () => {
  throw new RangeError(
    "Data frames read files, not addresses on the network: save what is there and give its path.",
  );
};
module.exports = refuse;
module.exports.get = refuse;
