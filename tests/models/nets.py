"""Nets for the tests of the recipe; needs the training packages."""

import torch

from models.recipe.net import Net, Size


def random_net(size: Size, number: int) -> Net:
    """Return the random net of this ``number``, whose norms, means and biases are none of those that a new net has."""
    torch.manual_seed(number)
    net = Net(size).eval()
    for table in (net.of_phone, net.of_left, net.of_state, net.state_bias):
        torch.nn.init.normal_(table, std=0.4)
    for norm in (net.input_norm, net.third_norm, *net.norm, net.last_norm):
        norm.running_mean.normal_(std=0.2)
        norm.running_var.uniform_(0.5, 2.0)
    net.feature_mean.normal_()
    net.feature_deviation.fill_(12.0)
    return net
